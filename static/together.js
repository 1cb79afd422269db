// Two people in one visit: values that another user saved appear in fields that were left alone
// here, and are named where both typed. The server compares again when the form is sent.
(() => {
  "use strict";

  const { text: say } = window.archroom;

  const read = (text) => {
    try {
      return JSON.parse(text);
    } catch {
      return null;
    }
  };

  const fieldOf = (form, key) => form.querySelector(`[data-key="${CSS.escape(key)}"]`);

  const textOf = (field) =>
    field.type === "checkbox" ? (field.checked ? "on" : "") : field.value.trim();

  const put = (field, text) => {
    if (field.type === "checkbox") field.checked = text === "on";
    else field.value = text;
    field.dispatchEvent(new Event("change", { bubbles: true }));
  };

  const show = (part) => {
    const form = part.closest("form");
    const carried = form && form.querySelector("[name=base]");
    const theirs = read(part.dataset.theirs);
    const labels = read(part.dataset.labels) || {};
    const base = carried && read(carried.value);
    if (!base || !theirs) return;

    const taken = [];
    const names = [];
    const differ = [];
    for (const [key, text] of Object.entries(theirs)) {
      const was = base[key] || "";
      const field = fieldOf(form, key);
      if (!field || text === was) continue;
      const mine = textOf(field);
      if (mine === was) {
        put(field, text);
        base[key] = text;
        taken.push(labels[key]);
        names.push(field.name);
      } else if (mine !== text) {
        differ.push(say("theirsAndYours", { field: labels[key], theirs: text || say("empty"), mine: mine || say("empty") }));
      } else {
        base[key] = text;
      }
    }
    carried.value = JSON.stringify(base);
    if (taken.length) form.dispatchEvent(new CustomEvent("archroom:taken", { detail: names }));

    const words = [];
    if (taken.length) words.push(say("added", { fields: taken.join(", ") }));
    if (differ.length) words.push(say("different", { differences: differ.join("; ") }));
    if (!words.length) return;
    const line = document.createElement("p");
    line.className = differ.length ? "kept loud" : "kept";
    line.textContent = words.join(" ");
    part.append(line);
  };

  document.addEventListener("htmx:load", (event) => {
    const node = event.detail.elt;
    if (node.matches && node.matches("[data-theirs]")) show(node);
  });
})();
