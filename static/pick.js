// The road test: a spot that is pointed at in a side view, or its button, goes into the first row
// of the form that is empty. Without this file the rows are filled in by hand.
(() => {
  "use strict";

  const rows = () =>
    [...document.querySelectorAll("fieldset")].filter((one) => one.querySelector("[name$=-place]"));

  const field = (row, name) => row.querySelector(`[name$="-${name}"]`);

  const put = (row, name, value) => {
    const one = field(row, name);
    if (one.type === "checkbox") one.checked = value;
    else one.value = value;
    one.dispatchEvent(new Event("input", { bubbles: true }));
    one.dispatchEvent(new Event("change", { bubbles: true }));
  };

  const isFree = (row) => !field(row, "place").value.trim() && !field(row, "corner").value;

  const pick = (corner, spot) => {
    const same = (row) => field(row, "corner").value === corner && field(row, "place").value === spot;
    const row = rows().find(same) || rows().find(isFree);
    if (!row) return;
    put(row, "corner", corner);
    put(row, "place", spot);
    if (!field(row, "gap_mm").value.trim()) put(row, "contact", true);
    const said = document.querySelector("[data-picked]");
    said.textContent = `${row.querySelector("legend").textContent}: ${field(row, "corner").selectedOptions[0].text}, ${spot}`;
  };

  for (const view of document.querySelectorAll("[data-pick-corner]")) {
    for (const button of view.querySelectorAll("[data-pick]")) button.hidden = false;
    view.addEventListener("click", (event) => {
      const button = event.target.closest("[data-pick]");
      const drawn = event.target.closest("[data-spot]");
      const spot = button ? button.dataset.pick : drawn && drawn.dataset.spot;
      if (spot) pick(view.dataset.pickCorner, spot);
    });
  }
})();
