// The worker (worker.js) that lets readings be opened again without a connection: it is registered
// here, told of the page that came before it, and emptied on signing out. A page that it has shown
// from this device says so.
(() => {
  "use strict";

  const { element, press, text, timeOf } = window.archroom;
  const WORKER = "/worker.js";
  const PAGES = "archroom-pages-";
  const FILES = "archroom-files";
  const { user, seen, kept } = document.body.dataset;

  // ---- A page from this device

  const say = (...words) => {
    let box = document.getElementById("seen");
    if (!box) {
      box = element("div", { id: "seen", className: "outbox" });
      box.setAttribute("role", "status");
      document.getElementById("notices").after(box);
    }
    box.replaceChildren(element("p", { className: "kept loud" }, ...words));
  };

  const last = () => say(text("fromDevice", { time: timeOf(Date.parse(seen)) }));

  if (seen) {
    last();
    addEventListener("offline", last);
    addEventListener("online", () =>
      say(
        `${text("stillFromDevice", { time: timeOf(Date.parse(seen)) })} `,
        press(text("reload"), () => location.reload()),
      ),
    );
  }

  // ---- Only this user's pages, and none after signing out

  const forget = async (spared) => {
    if (!window.caches) return;
    for (const name of await caches.keys()) {
      if ((name.startsWith(PAGES) || name === FILES) && !spared.includes(name)) await caches.delete(name);
    }
  };

  forget(user ? [PAGES + user, FILES] : []);
  for (const form of document.querySelectorAll("form[data-forget]")) {
    form.addEventListener("submit", () => forget([]));
  }

  // ---- The worker; browsers have none on plain http, and then a reload needs the connection

  const register = async () => {
    const before = navigator.serviceWorker.controller;
    await navigator.serviceWorker.register(WORKER);
    const { active } = await navigator.serviceWorker.ready;
    // What the worker says on a page of its own, where it has none to take words from.
    const words = { noConnection: text("noConnection"), storedHere: text("storedHere"), removedHere: text("removedHere") };
    active.postMessage({ words: { ...words, lang: document.documentElement.lang } });
    if (kept !== undefined && !before && !seen) active.postMessage({ keep: location.href });
  };

  if (user && navigator.serviceWorker) {
    register().catch((why) => console.warn(`Pages are not kept on this device: ${why.message}`));
  }
})();
