// The theme is set before the first line is drawn, and no line is seen before its typeface. From a folder a browser may keep a setting for one file only,
// so there it also travels in the address.
{
  const asked = new URLSearchParams(location.search).get("theme");
  let kept;
  try {
    kept = asked ?? localStorage.getItem("theme");
    if (asked) localStorage.setItem("theme", asked);
  } catch {
    kept = asked;
  }
  if (kept === "dark" || kept === "light") document.documentElement.dataset.theme = kept;
  const root = document.documentElement;
  root.dataset.scripted = "";
  // The typeface comes with the style sheet, but a browser unpacks it a moment after it has laid out the first lines. Until
  // then, and for a third of a second at the most, they are not shown, so that nothing is seen to move.
  root.dataset.type = "waits";
  const show = () => {
    delete root.dataset.type;
  };
  const wait = () =>
    Promise.all(["400 1em Card", "700 1em Card"].map((face) => document.fonts.load(face))).then(
      (found) => requestAnimationFrame(found.every(({ length }) => length > 0) ? show : wait),
      show,
    );
  requestAnimationFrame(wait);
  addEventListener("DOMContentLoaded", () => setTimeout(show, 300));
}
