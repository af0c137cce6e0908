// Entries on this device, in the order they were typed; some are set aside for a person.

const end = (of, event = "onsuccess") =>
  new Promise((resolve, reject) => {
    Object.assign(of, { [event]: () => resolve(of.result), onerror: reject, onabort: reject });
  });

async function deal(work) {
  const asked = indexedDB.open("workshop", 1);
  const place = { keyPath: "order", autoIncrement: true };
  asked.onupgradeneeded = () => asked.result.createObjectStore("entries", place);
  const database = await end(asked);
  // Strict: on the disk before anything is sent, so that a flat battery loses nothing.
  const one = database.transaction("entries", "readwrite", { durability: "strict" });
  const both = Promise.all([work(one.objectStore("entries")), end(one, "oncomplete")]);
  return (await both.finally(() => database.close()))[0];
}

export const keep = (entry) => deal((store) => end(store.put(entry))); // gives its place
export const forget = (order) => deal((store) => end(store.delete(order)));

/** Oldest first: entries that wait to be sent, and those set aside; none where no store is. */
export async function entries() {
  const all = await deal((store) => end(store.getAll())).catch(() => []);
  return [all.filter((entry) => !entry.aside), all.filter((entry) => entry.aside)];
}

/** Claims the oldest entry for sending; undefined when there is none or a tab sends it already. */
export function claim(milliseconds) {
  // A database deals with one tab after the other. (Locks need https, which a workshop has not.)
  const tab = (sessionStorage.tab ||= String(Math.random()));
  const load = performance.timeOrigin; // what an earlier page in this tab sent has stopped
  const work = async (store) => {
    const first = (await end(store.getAll())).find((entry) => !entry.aside);
    const left = (first?.until ?? 0) - Date.now(); // far too much: the clock was set back since
    const stopped = first?.tab === tab && first.load !== load;
    if (!first || (left > 0 && left < 2 * milliseconds(first) && !stopped)) return undefined;
    await end(store.put({ ...first, tab, load, until: Date.now() + milliseconds(first) }));
    return { ...first, until: 0 };
  };
  return deal(work).catch(() => undefined);
}
