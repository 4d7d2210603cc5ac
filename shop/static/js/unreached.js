/* Says that the shop's computer was not reached, or could not answer, in #unreached; takes it back after the next answer. */
(() => {
  const place = () => document.getElementById("unreached");
  const say = (kind) => {
    const row = place();
    if (!row) return;
    row.querySelectorAll("[data-unreached]").forEach((text) => (text.hidden = text.dataset.unreached !== kind));
    row.hidden = false;
    row.scrollIntoView({ block: "nearest" });
  };
  document.addEventListener("htmx:sendError", () => say("network"));
  document.addEventListener("htmx:timeout", () => say("network"));
  document.addEventListener("htmx:responseError", () => say("answer"));
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.xhr.status < 400 && place()) place().hidden = true;
  });
})();
