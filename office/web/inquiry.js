// Photos side by side: closer, farther, along and across by buttons and keys; by wheel and drag besides.
// Without this script the page shows the same pictures, large and still.

const STEPS = [1, 1.5, 2, 3, 4, 6, 8];
/** From this step on the larger picture is fetched. */
const LARGER_FROM = 1.5;
/** How far one step goes, as a share of what is seen. */
const STRIDE = 0.25;

const KEYS = {
  "+": "closer", "=": "closer", "-": "farther", _: "farther", 0: "whole", Home: "whole",
  ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
};

/** One picture behind its glass: how close, and which point of it stands in the middle (shares of width and height). */
class Pane {
  constructor(figure) {
    this.figure = figure;
    this.glass = figure.querySelector(".glass");
    this.picture = this.glass.querySelector("img");
    this.says = figure.querySelector("output");
    this.view = { step: 0, x: 0.5, y: 0.5 };
    this.show();
  }

  get times() {
    return STEPS[this.view.step];
  }

  /** Takes a view; it never leaves the picture. */
  look({ step, x, y }) {
    const at = Math.min(Math.max(step, 0), STEPS.length - 1);
    const edge = 0.5 / STEPS[at];
    const within = (share) => Math.min(Math.max(share, edge), 1 - edge);
    this.view = { step: at, x: within(x), y: within(y) };
    this.show();
  }

  show() {
    const { times, view } = this;
    const along = (share) => `${(0.5 - share) * times * 100}%`;
    this.picture.style.transform = `translate(${along(view.x)}, ${along(view.y)}) scale(${times})`;
    this.says.textContent = `${this.says.dataset.zoom}: × ${times}`;
    this.figure.querySelectorAll("button[data-do]").forEach((button) => {
      const done = { closer: view.step === STEPS.length - 1, farther: view.step === 0, whole: view.step === 0 };
      // Not `disabled`: a button that goes dead would take the focus with it.
      button.setAttribute("aria-disabled", String(done[button.dataset.do] ?? view.step === 0));
    });
    if (times >= LARGER_FROM) this.fetchLarger();
  }

  fetchLarger() {
    const address = this.picture.dataset.full;
    if (!address) return;
    delete this.picture.dataset.full;
    const larger = new Image();
    larger.addEventListener("load", () => {
      this.picture.src = larger.src;
    });
    larger.src = address;
  }

  /** The view after one step of a kind. */
  after(what) {
    const { step, x, y } = this.view;
    const stride = STRIDE / this.times;
    switch (what) {
      case "closer": return { step: step + 1, x, y };
      case "farther": return { step: step - 1, x, y };
      case "left": return { step, x: x - stride, y };
      case "right": return { step, x: x + stride, y };
      case "up": return { step, x, y: y - stride };
      case "down": return { step, x, y: y + stride };
      default: return { step: 0, x: 0.5, y: 0.5 };
    }
  }
}

function begin(section) {
  const panes = [...section.querySelectorAll("figure.pane")].filter((f) => f.querySelector(".glass img"));
  const all = panes.map((figure) => new Pane(figure));
  const together = section.querySelector("input[name='together']");
  const move = (pane, view) => {
    for (const each of together?.checked ? all : [pane]) each.look(view);
  };

  for (const pane of all) {
    const { glass } = pane;
    glass.tabIndex = 0;
    pane.figure.addEventListener("click", (event) => {
      const what = event.target.closest("button[data-do]")?.dataset.do;
      if (what) move(pane, pane.after(what));
    });
    glass.addEventListener("keydown", (event) => {
      const what = KEYS[event.key];
      if (!what || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      move(pane, pane.after(what));
    });
    // A wheel over a picture that nobody chose goes on scrolling the page.
    glass.addEventListener("wheel", (event) => {
      if (!event.ctrlKey && document.activeElement !== glass) return;
      event.preventDefault();
      move(pane, pane.after(event.deltaY < 0 ? "closer" : "farther"));
    }, { passive: false });
    glass.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || pane.view.step === 0) return;
      event.preventDefault();
      glass.focus();
      glass.setPointerCapture(event.pointerId);
      const from = { ...pane.view, left: event.clientX, top: event.clientY };
      const { width, height } = glass.getBoundingClientRect();
      const drag = (e) => move(pane, {
        step: pane.view.step,
        x: from.x - (e.clientX - from.left) / width / pane.times,
        y: from.y - (e.clientY - from.top) / height / pane.times,
      });
      const stop = () => glass.removeEventListener("pointermove", drag);
      glass.addEventListener("pointermove", drag);
      glass.addEventListener("pointerup", stop, { once: true });
      glass.addEventListener("pointercancel", stop, { once: true });
    });
  }

  together?.addEventListener("change", () => {
    if (together.checked && all.length > 0) for (const pane of all) pane.look(all[0].view);
  });
  const full = section.querySelector("button[data-full-screen]");
  if (full && document.fullscreenEnabled) {
    full.hidden = false;
    full.addEventListener("click", () => {
      if (document.fullscreenElement) document.exitFullscreen();
      else section.requestFullscreen();
    });
    document.addEventListener("fullscreenchange", () => {
      full.setAttribute("aria-pressed", String(document.fullscreenElement === section));
    });
  }
  section.classList.add("alive");
  section.querySelectorAll("[data-alive]").forEach((part) => {
    part.hidden = false;
  });
}

document.querySelectorAll("section.beside").forEach(begin);
