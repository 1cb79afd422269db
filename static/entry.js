// Readings typed with a tablet's number pad: Enter goes to the next field instead of sending the
// form, and a key beside each signed field changes the sign that the pad does not have. "All keys"
// brings the whole keyboard, for minutes and fractions; this device remembers it.
(() => {
  "use strict";

  const { store, element, text } = window.archroom;
  const KEYS = "archroom.keys";
  const PAD = matchMedia("(pointer: coarse) and (min-width: 40.01rem)");
  const MINUS = /^\s*[-−–]\s*/;

  const isLine = (field) =>
    field.matches("input") && !["hidden", "submit", "button", "checkbox", "radio"].includes(field.type);

  const shown = (field) => field.offsetParent !== null;

  const next = (form, field) => {
    const stops = [...form.elements].filter((one) => (isLine(one) || one.matches("select, textarea")) && shown(one));
    const after = stops[stops.indexOf(field) + 1];
    if (after) {
      after.focus();
      if (isLine(after) && after.type !== "datetime-local") after.select();
    } else {
      form.querySelector(".actions .btn.primary").focus();
    }
  };

  const turn = (field) => {
    field.value = MINUS.test(field.value) ? field.value.replace(MINUS, "") : `-${field.value.replace(/^\s*\+?\s*/, "")}`;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    if (document.activeElement !== field) field.dispatchEvent(new Event("change", { bubbles: true }));
  };

  const labelOf = (field) => (field.labels[0] ? field.labels[0].textContent.trim() : field.name);

  const withSign = (field) => {
    const key = element("button", { type: "button", className: "btn quiet" }, "±");
    key.setAttribute("aria-label", text("changeSign", { field: labelOf(field) }));
    key.tabIndex = -1; // a keyboard has a minus
    key.addEventListener("pointerdown", (event) => event.preventDefault()); // the pad stays open
    key.addEventListener("click", () => turn(field));
    const place = element("div", { className: "signed" });
    field.before(place);
    place.append(field, key);
  };

  // Fractions of an inch need a stroke, which no number pad has.
  const needsAllKeys = (form, field) =>
    field.dataset.signed.startsWith("toe") && form.elements.toe_unit && form.elements.toe_unit.value === "in";

  const pad = (form) => {
    const fields = [...form.querySelectorAll("input[data-signed]")];
    fields.forEach(withSign);
    const box = element("input", { type: "checkbox", checked: store.read(KEYS) === "all" });
    const words = element("span", {}, text("allKeys"));
    const choice = element("div", { className: "field tick keys" }, element("label", {}, box, " ", words));
    choice.setAttribute("data-keep-not", "");
    form.querySelector(".entry-table").before(choice);
    const set = () => {
      for (const field of fields) field.inputMode = box.checked || needsAllKeys(form, field) ? "text" : "decimal";
    };
    box.addEventListener("change", () => {
      store.write(KEYS, box.checked ? "all" : "pad");
      set();
    });
    if (form.elements.toe_unit) form.elements.toe_unit.addEventListener("change", set);
    set();
  };

  for (const form of document.querySelectorAll("form[data-entry]")) {
    form.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" || event.ctrlKey || event.isComposing || !isLine(event.target)) return;
      event.preventDefault();
      next(form, event.target);
    });
    if (PAD.matches) pad(form);
  }
})();
