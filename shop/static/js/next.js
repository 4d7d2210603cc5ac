/* Enter goes on to the next field instead of saving half a test: form[data-next]. */
(() => {
  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Enter" || event.isComposing || !field.matches?.("form[data-next] input")) return;
    if (["checkbox", "radio", "file", "submit"].includes(field.type)) return;
    const fields = [...field.form.elements].filter(
      (other) => other.matches("input:not([type=hidden]), select, textarea") && !other.disabled && other.offsetParent
    );
    const next = fields[fields.indexOf(field) + 1];
    event.preventDefault();
    if (next) {
      next.focus();
      if (next.matches("input.num")) next.select();
    } else {
      field.blur();
    }
  });
})();
