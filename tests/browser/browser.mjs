// The browser, and a watch over what a page does while it is looked at.

import assert from "node:assert/strict";
import { chromium } from "playwright-core";

const ARGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

/** Starts the browser, with more arguments than every test needs. */
export function openBrowser(more = []) {
  return chromium.launch({ executablePath: process.env.DOORYARD_CHROMIUM ?? "/usr/bin/chromium", args: [...ARGS, ...more] });
}

/** What a machine without a graphics card says when it draws a map. */
const DRAWN_SLOWLY = /GL Driver Message .*GPU stall due to ReadPixels/;

/** Does what leads to another page, and waits until that page is there. */
export async function arrive(page, act) {
  await Promise.all([page.waitForEvent("domcontentloaded"), act()]);
  await page.waitForLoadState();
}

/** Presses what leads to another page, and waits until that page is there: a click alone does not. */
export const follow = (page, what) => arrive(page, () => what.click());

/** How a page is looked at when a test says nothing else. */
const PLAIN = { width: 1280, height: 900, scheme: "light", refused: null, locale: "en-US" };

/**
 * Opens a page, does `visit` with it, and fails if the page wrote an error or a warning to the console, asked another
 * host than its own for anything, or was answered with an error.
 *
 * `refused` is the status of an answer that the test is about, such as 403: that answer is no trouble, others are.
 */
export async function looking(stage, options, visit) {
  const { width, height, scheme, refused, locale } = { ...PLAIN, ...options };
  const context = await stage.browser.newContext({
    viewport: { width, height }, colorScheme: scheme, locale, baseURL: stage.base, storageState: stage.session,
    reducedMotion: "reduce", // what has the focus is in view at once, not after a scroll
  });
  const trouble = watch(context, new URL(stage.base).host, refused);
  try {
    await visit(await context.newPage());
  } finally {
    await context.close();
  }
  assert.ok(trouble.length === 0, `while looking:\n${trouble.slice(0, 10).join("\n")}`);
}

function watch(context, host, refused) {
  const trouble = [];
  context.on("request", (r) => {
    if (new URL(r.url()).host !== host) trouble.push(`asked elsewhere: ${r.url()}`);
  });
  context.on("requestfailed", (r) => {
    // A page that is left takes back what it still waits for.
    const why = r.failure()?.errorText;
    if (why !== "net::ERR_ABORTED") trouble.push(`no answer: ${r.url()}: ${why}`);
  });
  context.on("response", (r) => {
    if (r.status() >= 400 && r.status() !== refused) trouble.push(`${r.status()}: ${r.url()}`);
  });
  context.on("console", (m) => {
    const known = refused !== null && m.text().includes(`responded with a status of ${refused}`);
    if (["error", "warning"].includes(m.type()) && !known && !DRAWN_SLOWLY.test(m.text())) trouble.push(`console: ${m.text()}`);
  });
  context.on("weberror", (e) => trouble.push(`script: ${e.error().message}`));
  return trouble;
}
