/* Turns the sign of a reading, for keypads without a minus: button[data-sign="id of the field"]. */
(() => {
  const show = (root) => root.querySelectorAll?.("[data-sign]").forEach((button) => (button.hidden = false));
  show(document);
  document.addEventListener("htmx:afterSwap", (event) => show(event.detail.target));
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-sign]");
    if (!button) return;
    const field = document.getElementById(button.dataset.sign);
    const typed = field.value.trim();
    field.value = /^[-\u2212]/.test(typed) ? typed.slice(1) : "-" + typed;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.focus();
  });
})();
