// An answer is printed; on a weighing list, what is ticked stays on this device, under the list's own words and figures. Both work without this.
"use strict";

// A search may take some seconds: the button says that it is at work.
const sent = document.querySelector("form.verb[method=get]");
if (sent) {
  const button = sent.querySelector("button.first");
  const words = button.textContent;
  sent.addEventListener("submit", () => {
    button.textContent = "Working it out …";
  });
  window.addEventListener("pageshow", () => {
    button.textContent = words;
  });
}

const list = document.querySelector(".answer-page");
const boxes = list ? [...list.querySelectorAll(".card input[type=checkbox]")] : [];

if (list) {
  const print = document.createElement("button");
  print.type = "button";
  print.className = "print";
  print.textContent = "Print";
  print.addEventListener("click", () => window.print());
  document.querySelector(".asked-for").append(print);
}

if (boxes.length) {
  const KEPT_DAYS = 30;
  const PREFIX = "ticks:";
  const today = new Date().toDateString();

  // A number for the words of the list: another list, or the same glaze in another size, has ticks of its own.
  const numberOf = (text) => {
    let [a, b] = [2166136261, 5381];
    for (const sign of text) {
      a = Math.imul(a ^ sign.codePointAt(0), 16777619) >>> 0;
      b = (Math.imul(b, 33) + sign.codePointAt(0)) >>> 0;
    }
    return `${a.toString(36)}-${b.toString(36)}`;
  };
  const key = PREFIX + numberOf(list.querySelector(".card").textContent.replace(/\s+/g, " "));

  const kept = (name) => {
    try {
      return JSON.parse(localStorage.getItem(name)) || {};
    } catch {
      return {};
    }
  };
  const keep = () => {
    const on = boxes.flatMap((box, place) => (box.checked ? [place] : []));
    try {
      if (on.length) localStorage.setItem(key, JSON.stringify({ at: Date.now(), on }));
      else localStorage.removeItem(key);
    } catch {
      // a device that keeps nothing: the ticks live as long as the page
    }
  };
  try {
    for (const name of Object.keys(localStorage)) {
      if (name.startsWith(PREFIX) && !(Date.now() - kept(name).at <= KEPT_DAYS * 86400000)) localStorage.removeItem(name);
    }
  } catch {
    // nothing is kept here
  }

  const lines = [...list.querySelectorAll(".weigh tbody tr")].filter((line) => line.querySelector("td:first-child > input"));
  const box = (line) => line.querySelector("td:first-child > input");
  const far = document.createElement("div");
  far.className = "ticked-so-far";
  const told = document.createElement("span");
  told.setAttribute("role", "status");
  const clear = document.createElement("button");
  clear.type = "button";
  clear.textContent = "Clear the ticks";
  far.append(told, clear);
  const table = list.querySelector(".weigh");
  if (table) table.after(far);
  else list.append(far);

  // Ticks of another day may be those of the batch before: it is said from when they are.
  const before = new Date(kept(key).at || Date.now());
  let since = before.toDateString() === today ? "" : `, ticked on ${before.toLocaleDateString("en-GB", { day: "numeric", month: "long" })}`;

  const draw = () => {
    const done = lines.filter((line) => box(line).checked).length;
    if (lines.length) told.textContent = `${done === lines.length ? "All" : `${done} of ${lines.length}`} weighed${since}`;
    clear.hidden = !boxes.some((one) => one.checked);
    const next = lines.find((line) => !box(line).checked);
    lines.forEach((line) => line.classList.toggle("next", line === next && done > 0));
  };
  for (const place of kept(key).on || []) {
    if (boxes[place]) boxes[place].checked = true;
  }
  draw();

  list.addEventListener("change", () => {
    keep();
    draw();
  });
  list.addEventListener("click", (event) => {
    if (event.target.closest("input, label, a, summary, button")) return;
    const line = event.target.closest(".weigh tbody tr, .tick");
    const one = line && line.querySelector("input");
    if (!one) return;
    one.checked = !one.checked;
    keep();
    draw();
  });
  let sure = 0;
  clear.addEventListener("click", () => {
    if (Date.now() - sure > 4000) {
      sure = Date.now();
      clear.textContent = "Sure? Press once more";
      setTimeout(() => {
        clear.textContent = "Clear the ticks";
      }, 4000);
      return;
    }
    sure = 0;
    since = "";
    boxes.forEach((one) => {
      one.checked = false;
    });
    keep();
    draw();
  });
}
