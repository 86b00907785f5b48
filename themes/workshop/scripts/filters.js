/* A list narrowed by what its rows say of themselves; the address keeps the choice. */
(function () {
  "use strict";
  const filters = document.querySelector("[data-filters]");
  if (!filters) return;
  const rows = Array.from(document.querySelectorAll("[data-rows] > li"));
  const selects = Array.from(filters.querySelectorAll("select"));
  const said = filters.querySelector("[data-shown]");

  function narrow() {
    let shown = 0;
    for (const row of rows) {
      row.hidden = selects.some((select) => select.value && !row.dataset[select.dataset.by].split("|").includes(select.value));
      if (!row.hidden) shown += 1;
    }
    said.textContent = shown === rows.length ? "" : `${shown} of ${rows.length} shown`;
    const chosen = new URLSearchParams();
    for (const select of selects) if (select.value) chosen.set(select.dataset.by, select.value);
    history.replaceState(null, "", String(chosen) ? `#${chosen}` : location.pathname.split("/").pop());
  }

  const asked = new URLSearchParams(location.hash.slice(1));
  for (const select of selects) {
    const value = asked.get(select.dataset.by);
    if (value && Array.from(select.options).some((option) => option.value === value)) select.value = value;
    select.addEventListener("change", narrow);
  }
  filters.hidden = false;
  if (selects.some((select) => select.value)) narrow();
})();
