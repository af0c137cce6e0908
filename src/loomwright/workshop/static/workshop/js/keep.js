// Nothing typed is lost: a form's entry is kept on this device before it is sent.

import { lift, putBack } from "./draft.js";
import { formKey, post, report, settle, show, turnOf, verdictOn, wake } from "./outbox.js";
import { addressOf, say } from "./page.js";
import { keep } from "./store.js";

const flying = new WeakMap(); // what is on its way, by form
const isKept = (form) => form.matches("form[data-keep][method=post i]") && form.elements.entry;

/** Keeps what a form holds; true when it may be sent now. */
async function begin(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  const entry = {
    entry: data.get("entry"),
    url: submitter?.hasAttribute("formaction") ? submitter.formAction : addressOf(form),
    fields: [...data].filter(([, value]) => typeof value === "string" || value.name),
    settles: form.dataset.settles,
    label: form.dataset.label || document.title,
    page: location.pathname + location.search,
    time: Date.now(),
  };
  flying.set(form, entry);
  form.setAttribute("aria-busy", "true");
  // Without room on this device the entry is sent all the same.
  const order = await keep(entry).catch((failure) => console.warn("Not kept:", failure));
  if (order) entry.order = order;
  entry.draft = lift(form);
  return !order || turnOf(order);
}

/** Puts the entry where its answer says, and makes the form ready for the next one. */
async function end(form, verdict) {
  const entry = flying.get(form);
  flying.delete(form);
  const lost = verdict === "away" && !entry.order;
  if (!lost) await settle(entry, verdict);
  if (lost || verdict === "asked") putBack(entry.draft);
  if (lost) return say("refused", "No connection, and no room to keep the entry: send it again.");
  const token = form.elements.entry;
  if (token.value === entry.entry)
    token.value = `${entry.entry.replace(/\.\d+$/, "")}.${Date.now()}`;
  if (verdict === "away") form.reset((form.dataset.kept = ""));
  await report();
  wake(2000);
}

const rest = (form) => form.removeAttribute("aria-busy");

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (event.defaultPrevented || !isKept(form)) return; // htmx has prevented its own
  event.preventDefault();
  if (form.ariaBusy) return;
  ...
});
