// The review with keys, kept as typed, and told of what others do. Everything it helps with works without it too.

const typing = "input:not([type=radio]):not([type=checkbox]), textarea, select, [contenteditable]";
const one = (selector, within = document) => within.querySelector(selector);
const every = (selector, within = document) => [...within.querySelectorAll(selector)];

/** Whether single keys are on. The choice says nothing of anyone and stays in this browser. */
const keys = {
  get on() {
    return localStorage.getItem("dooryard-keys") !== "off";
  },
  set on(yes) {
    localStorage.setItem("dooryard-keys", yes ? "on" : "off");
  },
};

// Keys.
const help = one("#keys");
const openHelp = () => {
  one("[data-keys-on]", help).checked = keys.on;
  help.showModal();
};
if (help) {
  const button = one("[data-keys-open]");
  button.hidden = false;
  button.addEventListener("click", openHelp);
  one("[data-keys-on]", help).addEventListener("change", (e) => (keys.on = e.target.checked));
}

function move(step) {
  const rows = every("[data-rows] > li");
  if (rows.length === 0) return false;
  const at = rows.findIndex((row) => row.contains(document.activeElement));
  const next = rows[Math.min(Math.max(at + step, 0), rows.length - 1)];
  one("a", next).focus();
  return true;
}

function pick() {
  const box = one("input[type=checkbox]", document.activeElement?.closest?.("[data-rows] > li") ?? document.createElement("li"));
  box?.click();
  return Boolean(box);
}

function press(key) {
  if (key === "?") return openHelp(), true;
  if (key === "j") return move(1);
  if (key === "k") return move(-1);
  if (key === "x") return pick();
  const target = one(`[data-key="${CSS.escape(key)}"]`);
  if (!target) return false;
  target.focus();
  // Links are followed and answers chosen; a button is only gone to, so that nothing is sent by one stray key.
  if (target.matches("a, input[type=radio]")) target.click();
  return true;
}

document.addEventListener("keydown", (e) => {
  if (e.defaultPrevented || e.ctrlKey || e.metaKey || e.altKey || e.isComposing || e.repeat) return;
  if (!help || help.open || !keys.on || e.key.length !== 1 || e.target.closest?.(typing)) return;
  if (press(e.key)) e.preventDefault();
});

// How sure, in words beside the number.
for (const form of every("[data-words]")) {
  const scale = form.dataset.words.split("|").map((part) => [parseInt(part, 10), part.slice(part.indexOf(" ") + 1)]);
  for (const field of every("input[type=number]", form)) {
    const said = one(`output[for="${field.id}"]`, form);
    const say = () => {
      const n = Number(field.value);
      const known = field.value !== "" && n >= 0 && n <= 100;
      said.textContent = known ? scale.filter(([from]) => n >= from).at(-1)[1] : "";
    };
    field.addEventListener("input", say);
    say();
  }
}

// Kept as typed: at this office, under the person's account. Nothing of it stays in the browser.
for (const form of every("form[data-draft]")) {
  const said = one("[data-draft-said]", form);
  let waits = null;
  let sending = false;
  const keep = async (keepalive = false) => {
    clearTimeout(waits);
    waits = null;
    const body = new URLSearchParams(new FormData(form));
    try {
      const answer = await fetch(form.dataset.draft, { method: "POST", body, keepalive, redirect: "error" });
      said.textContent = answer.ok ? said.dataset.say : said.dataset.not;
    } catch {
      said.textContent = said.dataset.not;
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waits);
    waits = setTimeout(keep, 500);
  });
  form.addEventListener("submit", () => {
    sending = true;
    clearTimeout(waits);
  });
  // Another form of the page is sent: what stands here half typed goes before it.
  document.addEventListener("submit", (e) => {
    if (e.target !== form && waits !== null) keep(true);
  });
  addEventListener("pagehide", () => {
    if (waits !== null && !sending) keep(true);
  });
}

// What is wrong, or what somebody did meanwhile, has the focus at once.
(one("#wrong") ?? one("#meanwhile"))?.focus();

// News: says only that something changed and where; the page asks for what it may see.
const now = one("[data-now]");
const queue = one("[data-queue-news]");
if (now || queue) {
  const news = new EventSource("/events");
  news.addEventListener("changed", async (e) => {
    const { part, at } = JSON.parse(e.data);
    if (part !== "review") return;
    if (now && now.dataset.now === `/review/${at}/now`) {
      const answer = await fetch(now.dataset.now, { redirect: "error" });
      if (answer.ok) now.innerHTML = await answer.text();
    }
    if (queue && queue.textContent === "") {
      queue.textContent = `${queue.dataset.say} `;
      const again = document.createElement("a");
      again.href = location.pathname + location.search;
      again.textContent = queue.dataset.again;
      queue.append(again);
    }
  });
  // The session or the office ended: nothing asks again by itself.
  news.addEventListener("over", () => news.close());
  addEventListener("pagehide", () => news.close());
  addEventListener("pageshow", (e) => {
    if (e.persisted) location.reload();
  });
}
