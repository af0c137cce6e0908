// Nothing typed is lost: a form's entry is kept on this device before it is sent.
import { lift, putBack } from "./draft.js";
import { post, report, settle, show, turnOf, verdictOn, wake } from "./outbox.js";
import { addressOf } from "./page.js";
import { keep } from "./store.js";

const KEPT = "form[data-keep][method=post i]:has([name=entry]):not([data-unkept])";
const rest = (form) => form.removeAttribute("aria-busy");

function entryOf(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  return {
    entry: data.get("entry"),
    url: submitter?.hasAttribute("formaction") ? submitter.formAction : addressOf(form),
    fields: [...data].filter(([, value]) => typeof value === "string" || value.name),
    settles: form.dataset.settles,
    label: form.dataset.label || document.title,
    page: location.pathname + location.search,
    time: Date.now(),
  };
}

/** Keeps a form's entry, then sends it when its turn has come. */
async function takeOver(form, submitter) {
  if (form.hasAttribute("aria-busy")) return;
  const entry = entryOf(form, submitter);
  form.setAttribute("aria-busy", "true"); // a second tap makes no second entry
  try {
    entry.order = await keep(entry);
  } catch {
    form.dataset.unkept = ""; // no room on this device: as if there were no script
    rest(form);
    return setTimeout(() => form.requestSubmit(submitter)); // not within the event itself
  }
  const draft = lift(form);
  const answer = (await turnOf(entry.order)) ? await post(entry) : { verdict: "away" };
  await settle(entry, answer.verdict);
  if (answer.verdict === "asked") putBack(draft);
  renew(form, entry, answer.verdict);
  await report();
  wake(2000);
  if (answer.verdict !== "away") show(entry, answer);
}

/** Makes the form ready for the next entry; where the answer is shown it stays busy. */
function renew(form, { entry }, verdict) {
  const token = form.elements.entry;
  if (token.value === entry) token.value = token.value.replace(/(\.\d+)?$/, `.${Date.now()}`);
  if (verdict !== "away") return;
  form.reset((form.dataset.kept = ""));
  rest(form);
}

const on = (name, work) => document.addEventListener(name, work);

on("submit", (event) => {
  if (event.defaultPrevented || !event.target.matches(KEPT)) return;
  event.preventDefault();
  takeOver(event.target, event.submitter);
});

// What some other server answered, or none, does not belong in this page.
const judged = (xhr) => verdictOn(xhr.status, xhr.getResponseHeader("X-Workshop"));
on("htmx:beforeOnLoad", (event) => judged(event.detail.xhr) === "away" && event.preventDefault());

addEventListener("pageshow", () => {
  document.querySelectorAll("[aria-busy]").forEach(rest); // "back" shows a page as it was left
  wake();
});
addEventListener("online", () => wake());
on("visibilitychange", () => document.hidden || wake());
