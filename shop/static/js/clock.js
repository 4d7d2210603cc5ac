/* Tells with each sending what this device's clock shows: input[name=device_at]. A claim; the server's time counts. */
(() => {
  const now = () => {
    const at = new Date();
    const offset = -at.getTimezoneOffset();
    const two = (number) => String(Math.abs(number)).padStart(2, "0");
    const local = new Date(at.getTime() + offset * 60000).toISOString().slice(0, 19);
    return `${local}${offset < 0 ? "-" : "+"}${two(Math.trunc(offset / 60))}:${two(offset % 60)}`;
  };
  // On the way down, so that whoever else listens to the sending finds it filled in.
  document.addEventListener(
    "submit",
    (event) => event.target.querySelectorAll("input[type=hidden][name=device_at]").forEach((field) => (field.value = now())),
    true
  );
})();
