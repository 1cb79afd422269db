// Forms that are sent while the connection is gone wait on this device and go when it is back.
// A form says so with data-outbox="What it is". What waits is shown on every page of the site; a
// form that the server asks something about is opened again, with all that was typed, and
// nothing is overwritten: the server compares it field by field with what stands by then.
(() => {
  "use strict";

  const { store, element, press, text, timeOf, draftName, draftKey, waitingKey } = window.archroom;
  const AGAIN_MS = 10000;
  const SOON_MS = 1000; // a connection that has just come back may need another moment
  const PATIENCE_MS = 4000;
  const TYPING_MS = 1000;
  const OPEN = "form[data-outbox]";
  const TOLD = "archroom.told";
  const NOT_SENT = ["csrfmiddlewaretoken", "_keep"];
  const SIGN_IN = "/accounts/login/";
  const mine = waitingKey("");

  const waiting = () =>
    store
      .keys(mine)
      .map((key) => ({ key, ...store.read(key) }))
      .filter((entry) => entry.url)
      .sort((a, b) => a.at - b.at);

  // ---- What is kept and what was sent, in words on top of every page

  const sent = [];

  const place = () => {
    let box = document.getElementById("outbox");
    if (!box) {
      box = element("div", { id: "outbox", className: "outbox" });
      box.setAttribute("role", "status");
      document.getElementById("notices").after(box);
    }
    return box;
  };

  const line = (words, ...more) => element("p", { className: "kept loud" }, words, " ", ...more);

  const link = (href, words) => element("a", { href }, words);

  const discard = (entry) =>
    press(text("discard"), () => {
      store.drop(entry.key);
      show();
    });

  const lineOf = (entry) => {
    const about = { what: entry.what, time: timeOf(entry.at) };
    if (entry.asked) {
      const why = text(entry.asked, { status: entry.status });
      return line(text("notAccepted", { ...about, why }), link(entry.page, text("open")), discard(entry));
    }
    return line(text("queued", about), press(text("sendNow"), flush), discard(entry));
  };

  const show = () => {
    place().replaceChildren(
      ...sent.map((entry) =>
        element(
          "p",
          { className: "kept" },
          element("span", {}, `${text("sent", { time: timeOf(entry.at) })} `, link(entry.url, entry.what), `. ${entry.told}`),
        ),
      ),
      ...waiting().map(lineOf),
    );
  };

  // ---- Sending

  const token = () => {
    try {
      return JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"] || "";
    } catch {
      return "";
    }
  };

  // Why it was not taken, as a text by its name.
  const ask = (entry, asked, status) => {
    const { key, ...rest } = entry;
    store.write(key, { ...rest, asked, status });
  };

  // What the server said with its answer: the page that comes next would not say it again.
  const toldBy = async (response) => {
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    return [...page.querySelectorAll("#notices p")].map((line) => line.textContent.trim()).join(" ");
  };

  const plain = (fields) => JSON.stringify(fields.filter(([name]) => name !== "stay"));

  const took = async (entry, response) => {
    const told = await toldBy(response);
    store.drop(entry.key);
    const draft = draftKey(entry.name);
    const row = { what: entry.what, at: Date.now(), url: response.url, told };
    const form = location.pathname + location.search === entry.page && document.querySelector(OPEN);
    if (!form) {
      const kept = store.read(draft);
      if (kept && kept.at <= entry.at + TYPING_MS) store.drop(draft);
      sent.push(row);
    } else if (plain(fieldsOf(form)) === plain(entry.fields)) {
      form.dispatchEvent(new CustomEvent("archroom:sent"));
      store.write(TOLD, row);
      location.assign(response.url);
    } else {
      sent.push(row); // more was typed meanwhile, and stays
    }
  };

  const send = async (entry) => {
    const body = new URLSearchParams(entry.fields);
    body.set("csrfmiddlewaretoken", token());
    const response = await fetch(entry.url, { method: "POST", body, signal: AbortSignal.timeout(30000) });
    if (response.url.includes(SIGN_IN)) return ask(entry, "signInAgain");
    if (response.ok && response.redirected) return took(entry, response);
    if (response.status >= 500) throw new Error("later");
    if (response.status === 422 || response.ok) return ask(entry, "serverAsks");
    return ask(entry, "serverRefused", response.status);
  };

  let again;
  let wait = SOON_MS;
  const flush = async () => {
    clearTimeout(again);
    const rows = waiting().filter((entry) => !entry.asked);
    let failed = false;
    for (const entry of rows) {
      try {
        await send(entry);
      } catch {
        failed = true;
        break;
      }
    }
    if (rows.length) show();
    if (failed) again = setTimeout(turn, wait);
    wait = failed ? Math.min(2 * wait, AGAIN_MS) : SOON_MS;
  };

  // One tab at a time, where the browser can tell.
  const turn = () =>
    navigator.locks
      ? navigator.locks.request("archroom.outbox", { ifAvailable: true }, (lock) => lock && flush())
      : flush();

  // ---- Forms

  const fieldsOf = (form, button) => {
    const fields = [...new FormData(form)].filter(
      ([name, value]) => !NOT_SENT.includes(name) && typeof value === "string",
    );
    if (button && button.name) fields.push([button.name, button.value]);
    return fields;
  };

  const queue = (form, button) => {
    const name = draftName(form);
    const url = form.getAttribute("action") || location.pathname + location.search;
    return store.write(waitingKey(name), {
      name,
      url,
      page: location.pathname + location.search,
      what: form.dataset.outbox,
      at: Date.now(),
      fields: fieldsOf(form, button),
    });
  };

  const answers = async () => {
    if (!navigator.onLine) return false;
    try {
      const asked = { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS) };
      await fetch("/healthz/", asked);
      return true;
    } catch {
      return false;
    }
  };

  const submit = async (form, button) => {
    if (form.dataset.sending) return;
    form.dataset.sending = "yes";
    const there = await answers();
    delete form.dataset.sending;
    if (there) {
      if (button && button.name) {
        form.append(element("input", { type: "hidden", name: button.name, value: button.value }));
      }
      form.submit();
      return;
    }
    if (!queue(form, button)) return;
    show();
    again = setTimeout(turn, AGAIN_MS);
  };

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.dataset.outbox === undefined || event.defaultPrevented) return;
    event.preventDefault();
    submit(form, event.submitter);
  });

  // Typing goes on while a form waits, and what others saved is shown: what is sent is what
  // stands in it then.
  const queueAgain = (form) => {
    if (!form || form.dataset.outbox === undefined) return;
    const entry = store.read(waitingKey(draftName(form)));
    if (entry && !entry.asked) queue(form);
  };
  document.addEventListener("input", (event) => queueAgain(event.target.form));
  document.addEventListener("archroom:taken", (event) => queueAgain(event.target), true);

  addEventListener("online", () => {
    wait = SOON_MS;
    turn();
  });
  document.addEventListener("visibilitychange", () => document.hidden || turn());

  // Said once, on the page that what was sent has led to.
  const told = store.read(TOLD);
  if (told) {
    store.drop(TOLD);
    sent.push(told);
  }
  show();
  turn();
})();
