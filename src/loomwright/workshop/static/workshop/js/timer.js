// Counts up from a time: <output data-since="2026-05-14T10:20:00Z">.
function count() {
  for (const output of document.querySelectorAll("output[data-since]")) {
    const since = Math.max(Date.now() - Date.parse(output.dataset.since), 0) / 1000;
    const [h, m, s] = [since / 3600, (since / 60) % 60, since % 60].map(Math.floor);
    const two = (n) => String(n).padStart(2, "0");
    output.setAttribute("aria-live", "off"); // nobody wants each second read out
    if (since >= 0) output.textContent = h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
  }
}
count();
setInterval(count, 1000);
