// The theme is set before the first line is drawn. From a folder a browser may keep a setting for one file only,
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
  document.documentElement.dataset.scripted = "";
}
