// Counts up from a time: <output data-since="2026-05-14T10:20:00Z">.

const two = (n) => String(Math.floor(n)).padStart(2, "0");

function count() {
  for (const output of document.querySelectorAll("output[data-since]")) {
    const since = Math.max(Date.now() - Date.parse(output.dataset.since), 0) / 1000;
    if (Number.isNaN(since)) continue;
    const [h, m, s] = [Math.floor(since / 3600), (since / 60) % 60, since % 60];
    output.setAttribute("aria-live", "off"); // nobody wants each second read out
    output.textContent = h ? `${h}:${two(m)}:${two(s)}` : `${Math.floor(m)}:${two(s)}`;
  }
}

count();
setInterval(count, 1000);
