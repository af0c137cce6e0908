// Nothing typed is lost: a form's entry is kept on this device before it is sent.
import { lift, putBack } from "./draft.js";
import { formKey, post, report, settle, show, turnOf, verdictOn, wake } from "./outbox.js";
import { addressOf } from "./page.js";
import { keep } from "./store.js";

const flying = new WeakMap(); // entries on their way, by form
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
async function takeOver(form, submitter, send) {
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
  entry.draft = lift(form);
  flying.set(form, entry);
  if (await turnOf(entry.order)) await send(entry);
  else await land(form, "away");
}

/** Puts the entry where its answer says, and makes the form ready for the next one. */
async function land(form, verdict) {
  const entry = flying.get(form);
  if (!entry || !flying.delete(form)) return;
  await settle(entry, verdict);
  if (verdict === "asked") putBack(entry.draft);
  const token = form.elements.entry;
  if (token.value === entry.entry) token.value = token.value.replace(/(\.\d+)?$/, `.${Date.now()}`);
  if (verdict === "away") form.reset((form.dataset.kept = ""));
  if (verdict === "away" || form.hasAttribute("hx-post")) rest(form);
  await report();
  wake(2000);
}

const on = (name, work) => document.addEventListener(name, work);

on("submit", (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || !form.matches(KEPT)) return; // htmx has prevented its own
  event.preventDefault();
  takeOver(form, submitter, async (entry) => {
    const answer = await post(entry);
    await land(form, answer.verdict);
    if (answer.verdict !== "away") show(entry, answer);
  });
});

on("htmx:confirm", (event) => {
  const { elt: form, verb, question, triggeringEvent, issueRequest } = event.detail;
  if (verb !== "post" || !form.matches(KEPT)) return;
  event.preventDefault();
  if (question && !confirm(question)) return;
  takeOver(form, triggeringEvent?.submitter, () => issueRequest(true));
});
on("htmx:configRequest", ({ detail: { elt, headers } }) => {
  if (flying.has(elt)) headers["X-Entry"] = flying.get(elt).entry;
  if (formKey()) headers["X-CSRFToken"] = formKey();
});
const judged = ({ xhr }) => verdictOn(xhr.status, xhr.getResponseHeader("X-Workshop"));
// What some other server answered, or none, does not belong in this page.
on("htmx:beforeOnLoad", (event) => judged(event.detail) === "away" && event.preventDefault());
on("htmx:afterRequest", ({ detail }) => land(detail.requestConfig.elt, judged(detail)));

addEventListener("pageshow", () => {
  document.querySelectorAll("[aria-busy]").forEach(rest); // "back" shows a page as it was left
  wake();
});
addEventListener("online", () => wake());
on("visibilitychange", () => document.hidden || wake());
