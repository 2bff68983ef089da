// Bundles one by one, with how far each is; dropped or chosen. Without this script the form does the same in one go.

/** How often the office is asked how far it is, in milliseconds. */
const ASK = 500;

const form = document.querySelector("form.drop");
const work = document.querySelector(".drop-work");
const [now, bar, list, end] = ["now", "bar", "list", "end"].map((part) => work.querySelector(`.drop-${part}`));
const input = form.querySelector("input[type=file]");
const says = form.dataset;
let busy = false;

/** A sentence with words put in the places of their names in braces. */
const fill = (sentence, words) => sentence.replace(/\{(\w+)\}/g, (whole, name) => words[name] ?? whole);

function row(head, words, href) {
  const item = document.createElement("li");
  const body = document.createElement("div");
  body.className = "b";
  const name = document.createElement(href ? "a" : "b");
  name.textContent = head;
  if (href) name.href = href;
  body.append(name, `: ${words}`);
  const margin = document.createElement("div");
  margin.className = "m";
  margin.textContent = String(list.children.length + 1);
  item.append(margin, body);
  list.append(item);
}

function shows(sentence, places, done, total) {
  const percent = total > 0 ? Math.floor((100 * done) / total) : 0;
  const words = fill(sentence, { ...places, percent });
  if (now.textContent !== words) now.textContent = words;
  bar.value = percent;
}

/** Asks how far the office is with a file until `over` says that it has answered. */
async function follow(number, places, over) {
  while (!over()) {
    const answer = await fetch(`/take-in/how-far/${number}`).catch(() => null);
    const far = answer?.status === 200 ? await answer.json().catch(() => null) : null;
    if (far && !over()) shows(says.taking, places, far.done, far.total);
    await new Promise((later) => setTimeout(later, ASK));
  }
}

/** Sends one file; gives what the office says of it. */
function send(file, places) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    const number = crypto.randomUUID();
    let over = false;
    const body = new FormData();
    body.append("files", file, file.name);
    request.open("POST", form.action);
    request.responseType = "json";
    request.setRequestHeader("accept", "application/json");
    request.setRequestHeader("x-dooryard-token", form.elements.token.value);
    request.setRequestHeader("x-dooryard-number", number);
    request.upload.addEventListener("progress", (e) => shows(says.sending, places, e.loaded, e.total));
    request.upload.addEventListener("load", () => follow(number, places, () => over));
    request.addEventListener("loadend", () => {
      over = true;
      resolve(request.response ?? { why: fill(says.lost, places) });
    });
    request.send(body);
  });
}

async function bring(files) {
  if (busy || files.length === 0) return;
  work.hidden = false;
  list.replaceChildren();
  end.replaceChildren();
  end.hidden = true;
  if (files.length > Number(says.files)) {
    now.textContent = says.many;
    bar.hidden = true;
    return;
  }
  busy = true;
  bar.hidden = false;
  form.querySelector("button").disabled = true;
  const numbers = [];
  let kept = 0;
  for (const [at, file] of files.entries()) {
    const places = { file: file.name, n: at + 1, files: files.length };
    if (file.size > Number(says.most)) {
      row(file.name, fill(says.large, places));
      continue;
    }
    shows(says.sending, places, 0, 1);
    const answer = await send(file, places);
    for (const said of answer.files ?? []) {
      numbers.push(said.number);
      kept += said.kept ? 1 : 0;
      row(said.head, `${said.sum} ${said.why}`.trim(), `/take-in/${said.number}`);
    }
    if (!answer.files) row(file.name, [answer.why, answer.to_do].filter(Boolean).join(" "));
  }
  busy = false;
  form.querySelector("button").disabled = false;
  input.value = "";
  bar.hidden = true;
  now.textContent = fill(says.done, { n: kept, files: files.length });
  if (numbers.length > 0) {
    const [first, last] = [Math.min(...numbers), Math.max(...numbers)];
    const report = document.createElement("a");
    report.className = "btn main";
    report.href = first === last ? `/take-in/${first}` : `/take-in/${first}-${last}`;
    report.textContent = says.report;
    end.append(report);
    end.hidden = false;
    report.focus();
  }
}

form.addEventListener("submit", (e) => {
  e.preventDefault();
  bring([...input.files]);
});
form.querySelector(".drop-hint").hidden = false;
const sheet = form.closest(".drop-sheet");
for (const kind of ["dragenter", "dragover"]) {
  sheet.addEventListener(kind, (e) => {
    e.preventDefault();
    sheet.classList.add("over");
  });
}
for (const kind of ["dragleave", "drop"]) sheet.addEventListener(kind, () => sheet.classList.remove("over"));
sheet.addEventListener("drop", (e) => {
  e.preventDefault();
  bring([...e.dataTransfer.files]);
});
// A file that misses the place would take the browser away from the page.
for (const kind of ["dragover", "drop"]) addEventListener(kind, (e) => e.preventDefault());
