/* Brings a notice that matters to the reader on arrival: [data-focus]. */
(() => {
  const bring = (root) => root.querySelector?.("[data-focus]")?.focus();
  bring(document);
  document.addEventListener("htmx:afterSwap", (event) => bring(event.detail.target));
})();
