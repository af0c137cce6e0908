// The page on the screen: parts that come later, the connection line, answers in place.

/** Does the work now, and again whenever a part of the page is new. */
export function whenShown(work) {
  work();
  for (const name of ["htmx:load", "workshop:shown"]) document.addEventListener(name, work);
}

/** Where a form goes; `form.action` may be one of its own fields. */
export const addressOf = (form) =>
  new URL(form.getAttribute("action") || location.pathname + location.search, location.href).href;

export function made(name, properties, ...parts) {
  const element = Object.assign(document.createElement(name), properties);
  element.append(...parts.flatMap((part) => [part, " "]));
  return element;
}

export const button = (words, onclick) => made("button", { type: "button", onclick }, words);

/** Says something in the connection line; the same words twice are not read out twice. */
export function say(state, ...parts) {
  const line = document.getElementById("link");
  const words = made("span", {}, ...parts);
  if (!line || line.textContent === words.textContent) return;
  line.dataset.state = state;
  line.replaceChildren(words);
}

let replaced = false;

/** Shows the workshop's own answer in place of the page. */
export function showAnswer(html, url) {
  const page = new DOMParser().parseFromString(html, "text/html");
  // A form without an address goes where its page came from, which is not this page's address.
  for (const form of page.forms) if (!form.getAttribute("action")) form.setAttribute("action", url);
  if (!replaced) history.pushState(null, "");
  replaced = true;
  document.title = page.title;
  // The body's contents, not the document: listeners and what is on its way stay alive.
  document.body.replaceChildren(...page.body.childNodes);
  window.htmx?.process(document.body);
  document.dispatchEvent(new Event("workshop:shown"));
  document.querySelector("[autofocus], [role=alert][tabindex], main")?.focus();
}

// Back from such an answer leads to the form, which puts back what was typed.
addEventListener("popstate", () => replaced && location.reload());
