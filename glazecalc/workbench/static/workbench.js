// What makes the pages of the workbench live. Every page works without it.
"use strict";

document.documentElement.classList.add("live");

// One glaze: each keystroke is worked out beside the card.
const card = document.getElementById("card");
if (card) {
  const text = document.getElementById("text");
  const gutter = card.querySelector(".gutter");
  const beside = document.getElementById("beside");
  const answer = document.getElementById("answer");
  const title = document.getElementById("title");
  const state = document.getElementById("state");
  const saved = state.textContent.trim() === "saved" ? text.defaultValue : null;
  let asking = false;
  let newer = false;
  let times = 0;
  let marks = [...gutter.children].map((item, place) => [place + 1, item.className]).filter((mark) => mark[1]);
  let told = "";
  let leaving = false;

  const draw = () => {
    const kinds = new Map();
    for (const [line, kind] of marks) {
      if (line && kinds.get(line) !== "wrong") kinds.set(line, kind);
    }
    const count = text.value.split("\n").length;
    const items = [];
    for (let line = 1; line <= count; line += 1) {
      const item = document.createElement("li");
      item.textContent = line;
      item.className = kinds.get(line) || "";
      items.push(item);
    }
    gutter.replaceChildren(...items);
    text.setAttribute("aria-invalid", marks.some((mark) => mark[1] === "wrong"));
    text.rows = Math.max(11, count + 1);
    gutter.scrollTop = text.scrollTop;
  };

  const show = (found) => {
    marks = found.marks;
    draw();
    if (told !== found.beside) beside.innerHTML = found.beside; // made and escaped by our own server
    told = found.beside;
    answer.classList.toggle("stale", found.answer === null);
    if (found.answer === null) return;
    title.textContent = found.title;
    const open = [...answer.querySelectorAll("details")].map((one) => one.open);
    answer.innerHTML = found.answer;
    answer.querySelectorAll("details").forEach((one, place) => {
      if (open[place]) one.open = true;
    });
  };

  const ask = async () => {
    const reply = await fetch(card.dataset.workOut, { method: "POST", body: new URLSearchParams(new FormData(card)) });
    if (!reply.ok) throw new Error(reply.statusText);
    show(await reply.json());
    document.documentElement.dataset.workedOut = String(++times);
  };

  // One question at a time; what is typed meanwhile is asked when the answer is there.
  const workOut = async () => {
    newer = true;
    if (asking) return;
    asking = true;
    answer.setAttribute("aria-busy", "true");
    while (newer) {
      newer = false;
      try {
        await ask();
      } catch {
        answer.classList.add("stale");
        const silent = document.createElement("p");
        silent.className = "told wrong";
        silent.textContent =
          "The workbench does not answer. Your text is still here: copy it before you close this page, and start glazecalc open again.";
        beside.replaceChildren(silent);
        told = "";
      }
    }
    asking = false;
    answer.removeAttribute("aria-busy");
  };

  const isSaved = () => saved !== null && text.value === saved;
  const typed = () => {
    document.querySelector(".told[role=status]")?.remove(); // "Saved." is true no more
    if (state.textContent.trim() !== "new") state.textContent = isSaved() ? "saved" : "not saved";
    draw(); // the lines at once, their marks with the answer
    workOut();
  };
  text.addEventListener("input", typed);
  window.addEventListener("pageshow", () => {
    if (text.value !== text.defaultValue) typed(); // a browser that goes back brings what was typed
  });
  text.addEventListener("scroll", () => {
    gutter.scrollTop = text.scrollTop;
  });
  const body = document.getElementById("body");
  if (body) body.addEventListener("change", workOut);
  beside.addEventListener("click", (event) => {
    const line = Number(event.target.dataset && event.target.dataset.line);
    if (!line) return;
    event.preventDefault();
    const lines = text.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
    text.focus();
    text.setSelectionRange(start, start + lines[line - 1].length);
  });
  card.addEventListener("submit", () => {
    leaving = true;
  });
  document.addEventListener("keydown", (event) => {
    const save = card.querySelector("button.first");
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s" && save) {
      event.preventDefault();
      card.requestSubmit(save);
    }
  });
  window.addEventListener("beforeunload", (event) => {
    const untouched = state.textContent.trim() === "new" ? text.value === text.defaultValue : isSaved();
    if (!leaving && !untouched) event.preventDefault();
  });
}

// The shelf: what is found stands there while one types.
const find = document.getElementById("q");
const shelf = document.querySelector("ul.shelf");
if (find && shelf && !find.value) {
  const rows = [...shelf.children];
  const found = document.getElementById("found");
  find.addEventListener("input", () => {
    const words = find.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const row of rows) {
      row.hidden = !words.every((word) => row.dataset.words.includes(word));
      shown += row.hidden ? 0 : 1;
    }
    found.textContent = words.length ? `${shown} of ${rows.length}` : "";
  });
}
