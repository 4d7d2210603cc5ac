/* Closes an open menu on Escape and on a press elsewhere: details[data-menu]. */
(() => {
  const open = () => document.querySelectorAll("details[data-menu][open]");
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    open().forEach((menu) => {
      menu.open = false;
      menu.querySelector("summary").focus();
    });
  });
  document.addEventListener("pointerdown", (event) => {
    open().forEach((menu) => {
      if (!menu.contains(event.target)) menu.open = false;
    });
  });
})();
