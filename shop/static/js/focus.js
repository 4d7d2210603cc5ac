/* Brings a notice that matters to the reader on arrival: [data-focus]. */
(() => {
  // A link to an entry keeps the entry in view: the notice is then read out, not scrolled to.
  const bring = (root) => root.querySelector?.("[data-focus]")?.focus({ preventScroll: location.hash !== "" });
  bring(document);
  document.addEventListener("htmx:afterSwap", (event) => bring(event.detail.target));
})();
