// Sends entries in the order they were typed, and says how it stands.
import { addressOf, button, made, say, showAnswer } from "./page.js";
import { claim, entries, forget, keep } from "./store.js";

let [wait, timer, told] = [0, 0, 0];
const known = new Map(); // said to be kept; what has gone since was sent, by this tab or another
const counted = (n) => (n === 1 ? "1 entry" : `${n} entries`);

/** What an answer means: away, taken, asked (its page asks for a change) or refused. */
export function verdictOn(status, ours) {
  if (ours !== "1" || [502, 503, 504].includes(status)) return "away";
  if (status < 400) return "taken";
  return [400, 409, 422].includes(status) ? "asked" : "refused";
}

/** The form key as it is now; the one in an old form may be out of date. */
const formKey = () => /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1];
// 15 s, and more for photos over a slow wireless link.
const patience = ({ fields }) => fields.reduce((ms, [, { size = 0 }]) => ms + size / 50, 15000);

export async function post(entry) {
  const key = formKey();
  const headers = { "X-Entry": entry.entry, ...(key && { "X-CSRFToken": key }) };
  const body = new FormData();
  for (const [name, value] of entry.fields)
    if (!key || name !== "csrfmiddlewaretoken") body.append(name, value);
  const signal = AbortSignal.timeout(patience(entry));
  try {
    const answer = await fetch(entry.url, { method: "POST", body, headers, signal });
    const verdict = verdictOn(answer.status, answer.headers.get("X-Workshop"));
    return { verdict, url: answer.url, moved: answer.redirected, html: await answer.text() };
  } catch {
    return { verdict: "away" };
  }
}

/** Takes an answered entry out, with the one that it puts right; a refused one is set aside. */
export async function settle(entry, verdict) {
  if (verdict === "taken" || verdict === "asked") await forget(entry.order);
  else await keep({ ...entry, aside: verdict === "refused" });
  if (verdict === "taken" && entry.settles) await forget(Number(entry.settles));
}

/** Shows an answer; photos, which no page can carry, are put back into its form. */
export function show(entry, { url, moved, html }) {
  if (moved) return location.assign(url);
  showAnswer(html, url);
  for (const form of document.querySelectorAll("form[data-keep]")) {
    if (addressOf(form) !== entry.url) continue;
    form.dataset.settles = entry.settles || entry.order; // what this form puts right
    for (const input of form.querySelectorAll("input[type=file]")) {
      const box = new DataTransfer();
      const photos = entry.fields.filter(([name]) => name === input.name);
      photos.forEach(([, photo]) => box.items.add(photo));
      input.files = box.files;
      input.dispatchEvent(new Event("change", { bubbles: true }));
    }
  }
}

/** Sends what waits, oldest first; true as soon as it is this entry's turn. */
export async function turnOf(order) {
  for (let tries = order ? 15 : 1; tries; ) {
    const first = await claim(patience);
    if (first && first.order === order) return true;
    if (first) {
      const { verdict } = await post(first);
      await settle(first, verdict === "asked" ? "refused" : verdict); // nobody sees its page now
      if (verdict === "away") return false;
    } else if (--tries) await new Promise((resolve) => setTimeout(resolve, 200)); // a tab sends
  }
  return false;
}

/** Tries to send all that waits: after some milliseconds, soon again, then every 15 s. */
export function wake(after = 0, next = 2000) {
  wait = Math.min(next, 15000);
  clearTimeout(timer);
  timer = setTimeout(async () => {
    await turnOf();
    if (await report()) wake(wait, wait * 1.5);
  }, after);
}

/** Says how many entries are kept, were sent, or need a person; gives how many are not sent. */
export async function report() {
  const [queue, apart] = await entries();
  const waiting = queue.filter(({ until }) => !(until > Date.now())); // the others are on the way
  for (const entry of waiting) known.set(entry.order, entry);
  for (const entry of apart) known.delete(entry.order);
  const go = `${waiting.length === 1 ? "it goes" : "they go"} out when the workshop is back.`;
  const kept = `No connection. ${counted(waiting.length)} kept on this device; ${go}`;
  const parts = waiting.length ? [kept] : queue.length ? [] : sentParts();
  if (!parts.length && apart.length === told) return queue.length;
  told = apart.length;
  if (told) parts.push(`${counted(told)} ${told === 1 ? "needs" : "need"} you:`, ...ways(apart[0]));
  say(told ? "refused" : waiting.length ? "kept" : "sent", ...parts);
  return queue.length;
}

function sentParts() {
  for (const form of document.querySelectorAll("form[data-kept]")) delete form.dataset.kept;
  const pages = [...known.values()].map((entry) => entry.page);
  known.clear();
  const parts = pages.length ? [`Sent: ${counted(pages.length)}.`] : [];
  const href = location.pathname + location.search;
  if (pages.includes(href)) parts.push(made("a", { href }, "Show this page anew"));
  return parts;
}

document.addEventListener("workshop:shown", () => report((told = 0))); // its line says nothing yet

/** What can be done with an entry set aside. It stays until it, or what puts it right, is taken. */
function ways(entry) {
  const reopen = async () => {
    const answer = await post(entry);
    if (answer.verdict === "away") return say("refused", "No connection. The entry stays here.");
    if (answer.verdict === "taken") await settle(entry, "taken");
    show(entry, answer);
  };
  const ask = `Throw away "${entry.label}"? The workshop has not taken it.`;
  const discard = () => confirm(ask) && forget(entry.order).then(report);
  return [button(entry.label, reopen), button("Throw it away", discard)];
}
