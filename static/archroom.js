// Behaviour bound by data-* attributes. Everything works without this file; it only keeps what was
// typed, says when the connection is gone, and closes menus.
(() => {
  "use strict";

  const DRAFT = "archroom.draft.";
  const WAITING = "archroom.waiting.";
  const SAVED_COOKIE = "archroom_saved";
  const DRAFT_FIELD = "_keep";
  const OLD_AFTER_MS = 7 * 24 * 3600 * 1000;
  const WAIT_MS = 400;

  // ---- Storage that may be full or forbidden

  const store = {
    read(key) {
      try {
        return JSON.parse(localStorage.getItem(key));
      } catch {
        return null;
      }
    },
    write(key, value) {
      try {
        localStorage.setItem(key, JSON.stringify(value));
        return true;
      } catch {
        return false;
      }
    },
    drop(key) {
      try {
        localStorage.removeItem(key);
      } catch {
        // Nothing is kept then.
      }
    },
    keys(prefix = DRAFT) {
      try {
        return Object.keys(localStorage).filter((key) => key.startsWith(prefix));
      } catch {
        return [];
      }
    },
  };

  const element = (tag, attributes, ...children) => {
    const made = Object.assign(document.createElement(tag), attributes);
    made.append(...children);
    return made;
  };

  // What the page's language has for this key (shop/site/script_texts.py), with values in braces.
  const texts = JSON.parse(document.getElementById("texts").textContent);
  const text = (name, values = {}) =>
    (texts[name] || name).replace(/\{(\w+)\}/g, (_, value) => values[value] ?? "");

  const timeOf = (at) =>
    new Date(at).toLocaleString(document.documentElement.lang, { weekday: "short", hour: "2-digit", minute: "2-digit" });

  // ---- Drafts kept on this device

  const keepable = (field) =>
    field.name &&
    !["hidden", "password", "file", "submit", "button"].includes(field.type) &&
    !field.closest("[data-keep-not]");

  // [[name, value or ticked], …] in the order of the page: names may repeat.
  const values = (form) =>
    [...form.elements].filter(keepable).map((field) => [
      field.name,
      field.type === "checkbox" || field.type === "radio"
        ? [field.value, field.checked]
        : field.multiple
          ? [...field.selectedOptions].map((option) => option.value)
          : field.value,
    ]);

  const putBack = (form, kept) => {
    const left = new Map();
    for (const [name, value] of kept) {
      if (!left.has(name)) left.set(name, []);
      left.get(name).push(value);
    }
    for (const field of [...form.elements].filter(keepable)) {
      const waiting = left.get(field.name);
      if (!waiting || !waiting.length) continue;
      const value = waiting.shift();
      if (field.type === "checkbox" || field.type === "radio") {
        if (value[0] === field.value) field.checked = value[1];
      } else if (field.multiple) {
        for (const option of field.options) option.selected = value.includes(option.value);
      } else {
        field.value = value;
      }
      field.dispatchEvent(new Event("change", { bubbles: true }));
    }
  };

  const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

  const draftName = (form) => `${form.dataset.keep || form.id || "form"}@${location.pathname}${location.search}`;

  // A form that waits to be sent (outbox.js).
  const waitingKey = (name) => `${WAITING}${document.body.dataset.user || "guest"}.${name}`;

  const draftKey = (name) => `${DRAFT}${document.body.dataset.user || "guest"}.${name}`;

  // A line of words above the form; "loud" ones ask for a decision.
  const say = (form, words, loud, ...buttons) => {
    let line = form.querySelector(":scope > .kept");
    if (!line) {
      line = element("p", { className: "kept" });
      line.setAttribute("role", "status");
      form.prepend(line);
    }
    line.classList.toggle("loud", Boolean(loud));
    line.replaceChildren(words, ...buttons);
  };

  const press = (words, action) => {
    const button = element("button", { type: "button", className: "btn quiet" }, words);
    button.addEventListener("click", action);
    return button;
  };

  // What a field was when the page came, by name and its place among equal names.
  const byPlace = (list) => {
    const seen = new Map();
    return new Map(
      list.map(([name, value]) => {
        const nth = seen.get(name) || 0;
        seen.set(name, nth + 1);
        return [`${name} ${nth}`, value];
      }),
    );
  };

  // Typed by me since `base`, on top of what stands now; and what both changed, not alike.
  const joined = (draft, start) => {
    const [base, mine] = [byPlace(draft.base), byPlace(draft.values)];
    const conflicts = [];
    const values = [...byPlace(start)].map(([place, now]) => {
      const name = place.slice(0, place.lastIndexOf(" "));
      const typed = mine.get(place);
      if (typed === undefined || same(typed, base.get(place))) return [name, now];
      if (!same(now, base.get(place)) && !same(now, typed)) conflicts.push([name, now, typed]);
      return [name, typed];
    });
    return { values, conflicts };
  };

  const wordsOf = (value) => (Array.isArray(value) ? text(value[1] ? "ticked" : "notTicked") : value || text("empty"));

  const labelOf = (form, name) => {
    const field = form.elements[name];
    const label = field && field.labels && field.labels[0];
    return label ? label.textContent.trim() : name;
  };

  // Hidden values that belong to what was typed, such as the key of a new entry.
  const carried = (form) =>
    Object.fromEntries([...form.querySelectorAll("[data-carry]")].map((f) => [f.name, f.value]));

  const carryBack = (form, kept) => {
    for (const field of form.querySelectorAll("[data-carry]")) {
      if (kept && kept[field.name]) field.value = kept[field.name];
    }
  };

  const keep = (form) => {
    const name = draftName(form);
    const key = draftKey(name);
    let start = values(form);
    form.append(element("input", { type: "hidden", name: DRAFT_FIELD, value: name }));

    const draft = store.read(key);
    const refused = form.querySelector("[aria-invalid='true'], .wrong-summary");
    const now = draft && !refused && joined(draft, start);
    if (draft && refused) carryBack(form, draft.carried);
    if (now && (!same(now.values, start) || now.conflicts.length)) {
      const began = start;
      const discard = press(text("discard"), () => {
        store.drop(key);
        putBack(form, began);
        say(form, text("discarded"));
      });
      const back = () => {
        putBack(form, now.values);
        carryBack(form, draft.carried);
      };
      if (!now.conflicts.length) {
        back();
        say(form, text("restored", { time: timeOf(draft.at) }), true, discard);
      } else {
        const differences = now.conflicts
          .map(([field, theirs, mine]) =>
            text("savedAndYours", { field: labelOf(form, field), theirs: wordsOf(theirs), mine: wordsOf(mine) }),
          )
          .join("; ");
        const mine = press(text("useMine"), () => {
          back();
          say(form, text("yoursInForm", { differences }), true, discard);
        });
        const changed = text("recordChanged", { time: timeOf(draft.at), differences });
        say(form, `${changed} `, true, mine, discard);
      }
    }

    let waiting;
    const save = () => {
      clearTimeout(waiting);
      waiting = undefined;
      const typed = values(form);
      if (same(typed, start)) {
        store.drop(key);
        say(form, "");
        return;
      }
      const kept = { at: Date.now(), base: start, values: typed, carried: carried(form) };
      if (store.write(key, kept)) {
        const lost = text(form.dataset.outbox === undefined ? "lost" : "lostButWaits");
        const loud = !navigator.onLine && form.dataset.outbox === undefined;
        say(form, navigator.onLine ? text("draftHere") : lost, loud);
      } else {
        say(form, text("noStorage"), true);
      }
    };
    form.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(save, WAIT_MS);
    });
    // What another user saved and this form shows was not typed here.
    form.addEventListener("archroom:taken", (event) => {
      const standing = byPlace(values(form));
      start = [...byPlace(start)].map(([place, value]) => {
        const field = place.slice(0, place.lastIndexOf(" "));
        return [field, event.detail.includes(field) ? standing.get(place) : value];
      });
      save();
    });
    form.addEventListener("archroom:sent", () => {
      clearTimeout(waiting);
      waiting = undefined;
      start = values(form);
      store.drop(key);
    });
    addEventListener("pagehide", () => waiting && save());
    form.addEventListener("submit", (event) => {
      save();
      if (!navigator.onLine && form.dataset.outbox === undefined) {
        event.preventDefault();
        say(form, text("lost"), true);
      }
    });
  };

  const forgetSaved = () => {
    const found = document.cookie.split("; ").find((part) => part.startsWith(`${SAVED_COOKIE}=`));
    if (!found) return;
    const name = decodeURIComponent(found.slice(SAVED_COOKIE.length + 1)).replace(/^"|"$/g, "");
    store.drop(draftKey(name));
    store.drop(waitingKey(name));
    document.cookie = `${SAVED_COOKIE}=; Max-Age=0; path=/; SameSite=Lax`;
  };

  const forgetOld = () => {
    for (const key of store.keys()) {
      const draft = store.read(key);
      if (!draft || Date.now() - draft.at > OLD_AFTER_MS) store.drop(key);
    }
  };

  // ---- Notices

  const notice = (words) => {
    const place = document.getElementById("notices");
    if (place) place.replaceChildren(element("p", { className: "notice warning" }, words));
  };

  // ---- One place that binds a page or a swapped part

  const once = new WeakSet();
  const each = (root, selector, bind) => {
    const found = [...root.querySelectorAll(selector)];
    if (root.matches && root.matches(selector)) found.unshift(root);
    for (const node of found) {
      const known = once.has(node);
      once.add(node);
      if (!known) bind(node);
    }
  };

  const bind = (root) => {
    each(root, "form[data-keep]", keep);
    each(root, "form[data-forget]", (form) => {
      form.addEventListener("submit", () => store.keys().forEach((key) => store.drop(key)));
    });
    each(root, "[data-print]", (button) => {
      button.hidden = false;
      button.addEventListener("click", () => print());
    });
    each(root, "[data-copy]", (button) => {
      if (!navigator.clipboard) return;
      button.hidden = false;
      button.addEventListener("click", async () => {
        const copied = document.querySelector(button.dataset.copy).textContent.trim();
        try {
          await navigator.clipboard.writeText(copied);
          button.textContent = text("copied");
        } catch {
          button.textContent = text("notCopied");
        }
      });
    });
    each(root, "select[data-send]", (field) => {
      field.addEventListener("change", () => field.form.requestSubmit());
    });
    each(root, "[data-focus]", (node) => node.focus());
    each(root, "[data-scroll]", (node) => {
      if (node.scrollWidth > node.clientWidth) node.tabIndex = 0;
    });
  };

  document.addEventListener("click", (event) => {
    for (const menu of document.querySelectorAll("details.menu[open]")) {
      if (!menu.contains(event.target)) menu.open = false;
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    for (const menu of document.querySelectorAll("details.menu[open]")) {
      menu.open = false;
      menu.querySelector("summary").focus();
    }
  });

  // A slash leads to the search of the head, but for those who are typing.
  document.addEventListener("keydown", (event) => {
    if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
    const typedIn = ["INPUT", "TEXTAREA", "SELECT"].includes(event.target.tagName);
    if (typedIn || event.target.isContentEditable) return;
    const field = document.querySelector("[data-find]");
    if (!field) return;
    event.preventDefault();
    field.focus();
    field.select();
  });

  document.addEventListener("htmx:load", (event) => bind(event.detail.elt));
  document.addEventListener("htmx:sendError", (event) => {
    if (event.detail.elt.closest("form[data-outbox]")) return; // it says so itself, and calmly
    notice(text("connectionLost"));
  });
  document.addEventListener("htmx:responseError", (event) =>
    notice(text("serverError", { status: event.detail.xhr.status })),
  );
  // A form that the server refused comes back with 422 and is shown.
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.xhr.status === 422) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });

  // The fold that an address names opens: an act returns to the question that it answered.
  const unfold = () => {
    const named = document.getElementById(location.hash.slice(1));
    const fold = named && named.closest("details");
    if (fold && !fold.open) {
      fold.open = true;
      named.scrollIntoView();
    }
  };
  window.addEventListener("hashchange", unfold);

  window.archroom = { store, element, press, text, timeOf, draftName, draftKey, waitingKey };
  forgetSaved();
  forgetOld();
  bind(document);
  unfold();
})();
