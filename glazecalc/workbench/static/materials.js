// Materials: the list is searched while one types; a new bag's sum and faults stand there at once. Both pages work without this.
"use strict";

const findMaterial = document.getElementById("find-material");
if (findMaterial && !findMaterial.value) {
  const kinds = [...document.querySelectorAll("section.kind")].map((section) => [section, [...section.querySelectorAll("tr[data-words]")]]);
  const all = kinds.reduce((sum, [, rows]) => sum + rows.length, 0);
  const count = document.getElementById("found");
  findMaterial.addEventListener("input", () => {
    const words = findMaterial.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const [section, rows] of kinds) {
      let here = 0;
      for (const row of rows) {
        row.hidden = !words.every((word) => row.dataset.words.includes(word));
        here += row.hidden ? 0 : 1;
      }
      section.hidden = here === 0;
      shown += here;
    }
    count.textContent = words.length ? `${shown} of ${all}` : "";
  });
}

const bag = document.getElementById("bag");
if (bag) {
  const sum = document.getElementById("sum");
  const touched = new Set();
  let asking = false;
  let newer = false;

  const show = (found) => {
    sum.innerHTML = found.sum; // made and escaped by our own server
    for (const field of bag.querySelectorAll("input[id], select[id], textarea[id]")) {
      const name = field.dataset.row || field.id;
      const told = document.getElementById(`${name}-wrong`);
      if (!told) continue;
      // what has not been filled in yet is not called wrong while one is at another field
      const text = touched.has(field) || field.getAttribute("aria-invalid") === "true" ? found.faults[name] || "" : "";
      told.textContent = text;
      told.hidden = !text;
      field.setAttribute("aria-invalid", text ? "true" : "false");
    }
  };
  const check = async () => {
    newer = true;
    if (asking) return;
    asking = true;
    while (newer) {
      newer = false;
      try {
        const reply = await fetch(bag.dataset.check, { method: "POST", body: new URLSearchParams(new FormData(bag)) });
        if (!reply.ok) throw new Error(reply.statusText);
        show(await reply.json());
      } catch {
        sum.textContent = "The workbench does not answer. What you typed is still here.";
      }
    }
    asking = false;
  };
  bag.addEventListener("input", (event) => {
    if (event.target.value || touched.has(event.target)) touched.add(event.target);
    check();
  });
  const kind = document.getElementById("kind");
  kind.addEventListener("change", () => bag.requestSubmit(bag.querySelector("button[value=kind]")));
}
