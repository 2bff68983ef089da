// What comes out of the printer: pages as PDF, read by another program than the one that drew them.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { promisify } from "node:util";
import { looking } from "./browser.mjs";

const run = promisify(execFile);

/** What the page itself is worked with: on paper none of it stands. */
const CONTROLS = ["Sign out", "To the page itself", "Español", "What to do: Print"];

/** Prints a page as the style sheet says, and gives the text of each sheet. */
export async function printed(page, address) {
  await page.goto(address);
  const folder = await mkdtemp(path.join(tmpdir(), "dooryard-paper-"));
  try {
    const file = path.join(folder, "paper.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true });
    const { stdout } = await run("pdftotext", ["-layout", "-enc", "UTF-8", file, "-"], { maxBuffer: 1 << 26 });
    // Each sheet ends with a form feed.
    return stdout.split("\f").slice(0, -1).map((sheet) => sheet.replace(/\s+/g, " ").trim());
  } finally {
    await rm(folder, { recursive: true });
  }
}
