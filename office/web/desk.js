// The desk: what is typed is kept as it is typed, photos are dropped in, answers have keys. Without it every form works
// by its button.

for (const one of document.querySelectorAll(".withscript")) one.hidden = false;

const typed = document.querySelector("form[data-typed]");
const keeping = typed && keepAsTyped(typed);
const drop = document.getElementById("drop");
if (drop) takePhotos(drop);
const answers = document.getElementById("answers");
if (answers) answerByKeys(answers);
copyAndPrint();

/** Sends a form while it is being written, and says when it was kept only once it is. */
function keepAsTyped(form) {
  const said = document.getElementById("saved");
  const trouble = document.getElementById("not-saved");
  const state = { at: form.dataset.typed, dirty: false, written: false, busy: null, timer: 0, shown: stopsShown() };

  const body = (written) => {
    const fields = new URLSearchParams();
    for (const [name, value] of new FormData(form)) fields.append(name, value);
    fields.set("do", "typed");
    if (written) fields.set("written", "yes");
    return fields;
  };

  const soon = (ms) => {
    clearTimeout(state.timer);
    state.timer = setTimeout(send, ms);
  };

  // One sending at a time, so that an older state never overwrites a newer one.
  async function send() {
    if (state.busy || !state.dirty) return;
    const written = state.written;
    state.dirty = state.written = false;
    state.busy = sent(written);
    const went = await state.busy;
    state.busy = null;
    if (went) {
      if (state.dirty) soon(state.written ? 0 : 300);
      return;
    }
    state.dirty = true;
    state.written ||= written;
    trouble.textContent = form.dataset.failed;
    soon(3000);
  }

  /** Sends once, and takes in what comes back. Gives whether it went well. */
  async function sent(written) {
    try {
      const answer = await fetch(state.at, { method: "POST", body: body(written), redirect: "error" });
      if (!answer.ok) return false;
      kept(await answer.json());
      return true;
    } catch {
      return false;
    }
  }

  function kept(answer) {
    trouble.textContent = "";
    if (!state.dirty) said.textContent = answer.saved;
    if (answer.id) begun(answer.id);
    if (answer.stops && answer.stops.join() !== state.shown) {
      state.shown = answer.stops.join();
      document.getElementById("stops").innerHTML = answer.html;
    }
  }

  /** The call has a number now: loading the page again comes back to it. */
  function begun(id) {
    const page = `/desk/${id}`;
    if (location.pathname === page) return;
    history.replaceState(null, "", page);
    state.at = `${page}/typed`;
    form.action = page;
    document.getElementById("photos").hidden = false;
    document.getElementById("drop").action = `${page}/photos`;
  }

  form.addEventListener("input", () => {
    state.dirty = true;
    said.textContent = form.dataset.typing;
    // The first key begins the call; after it a pause in the typing sends.
    soon(state.at === "/desk/typed" ? 0 : 300);
  });
  form.addEventListener("change", () => {
    state.dirty = state.written = true;
    soon(0);
  });
  form.addEventListener("submit", async (event) => {
    clearTimeout(state.timer);
    state.dirty = false;
    if (!state.busy) return;
    // What is on its way may just be giving the call its number.
    event.preventDefault();
    await state.busy;
    setTimeout(() => form.requestSubmit(event.submitter));
  });
  addEventListener("pagehide", () => {
    if (state.dirty && !(state.busy && state.at === "/desk/typed")) navigator.sendBeacon(state.at, body(true));
  });
  form.addEventListener("keydown", (event) => {
    const main = form.querySelector("button[value=walk]");
    if (main && event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit(main);
  });
  return state;
}

function stopsShown() {
  const heads = document.querySelectorAll("#stops .halt");
  return heads.length === 0 ? "" : "as drawn";
}

/** Photos by drop or choice, one at a time, each in its place as soon as it is in the book. */
function takePhotos(form) {
  const input = form.querySelector("input[type=file]");
  const trouble = form.querySelector(".problem");
  form.querySelector("button").hidden = true;

  async function send(files) {
    trouble.textContent = "";
    for (const file of files) {
      const body = new FormData();
      body.append("token", form.querySelector("[name=token]").value);
      body.append("photo", file);
      const answer = await fetch(form.action, { method: "POST", body }).catch(() => null);
      const page = answer && new DOMParser().parseFromString(await answer.text(), "text/html");
      const shots = page?.getElementById("shots");
      if (answer?.ok && shots) {
        document.getElementById("shots").replaceWith(shots);
      } else {
        const why = page?.querySelector("main .head p")?.textContent ?? "";
        trouble.textContent = `${form.dataset.failed} ${file.name}. ${why}`;
      }
    }
    input.value = "";
  }

  input.addEventListener("change", () => send([...input.files]));
  for (const type of ["dragover", "drop"]) {
    document.addEventListener(type, (event) => {
      if (![...event.dataTransfer.types].includes("Files")) return;
      event.preventDefault();
      if (type === "drop" && !document.getElementById("photos").hidden) send([...event.dataTransfer.files]);
    });
  }
}

/** The key beside an answer picks it while the focus is among the answers; Enter sends. */
function answerByKeys(form) {
  form.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target.closest("select, button")) return;
    if (event.key === "Enter") {
      event.preventDefault();
      form.requestSubmit();
      return;
    }
    const picked = [...form.querySelectorAll("input[data-key]")].find((input) => input.dataset.key === event.key.toLowerCase());
    if (!picked) return;
    event.preventDefault();
    picked.focus();
    picked.click();
  });
  // A state that was ticked and an answer for the whole look leave each other alone.
  form.addEventListener("change", (event) => {
    const boxes = [...form.querySelectorAll("input[type=checkbox]")];
    if (boxes.length === 0 || !event.target.dataset.key) return;
    if (event.target.type === "radio") for (const box of boxes) box.checked = false;
    else for (const radio of form.querySelectorAll("input[type=radio]")) radio.checked = false;
  });
}

function copyAndPrint() {
  for (const button of document.querySelectorAll("[data-print]")) {
    button.hidden = false;
    button.addEventListener("click", () => print());
  }
  for (const button of document.querySelectorAll("[data-copy]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      const text = document.getElementById(button.dataset.copy);
      text.focus();
      text.select();
      try {
        await navigator.clipboard.writeText(text.value);
      } catch {
        document.execCommand("copy");
      }
      button.parentElement.querySelector("[role=status]").textContent = button.dataset.copied;
    });
  }
}
