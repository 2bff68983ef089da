// The demo county and its office page, as the tests and the pictures need them.

import { execFile, spawn } from "node:child_process";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { createInterface } from "node:readline";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";

const root = fileURLToPath(new URL("../..", import.meta.url));
const built = process.env.DOORYARD_BUILT ?? path.join(root, "target/debug");
const run = promisify(execFile);

/** How long the office page may take to say its address, in milliseconds. */
const PATIENCE = 30_000;

/**
 * Makes the demo county, or takes the one of DOORYARD_DEMO, and serves its office page on a free port.
 *
 * Gives the page's address, what the office's notebook holds by kind, links for new accounts, and how to end it.
 */
export async function openDesk() {
  const demo = process.env.DOORYARD_DEMO ?? (await newDemo());
  const office = path.join(demo, "office");
  const page = spawn(path.join(built, "dooryard"), ["office", "serve", office, "--port", "0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  let closing = false;
  page.once("exit", (code, signal) => {
    if (!closing) console.error(`the office page ended by itself: ${signal ?? code}`);
  });
  const close = async () => {
    closing = true;
    if (page.exitCode !== null || page.signalCode !== null) return;
    const ended = new Promise((resolve) => page.once("exit", resolve));
    page.kill("SIGINT");
    await ended;
  };
  try {
    const base = await addressOf(page);
    return { base, office, dooryard: said, records: (...which) => records(office, which),
      link: (role) => link(office, role), exported: (form, given) => exported(office, form, given), close };
  } catch (e) {
    await close();
    throw e;
  }
}

async function newDemo() {
  const folder = path.join(built, "../browser/demo");
  await run(path.join(built, "dooryard-demo"), ["--dir", folder, "--no-serve"], { maxBuffer: 1 << 24 });
  return folder;
}

function addressOf(page) {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error("the office page did not say its address")), PATIENCE);
    page.once("error", reject);
    page.once("exit", (code) => reject(new Error(`the office page ended with ${code}`)));
    createInterface({ input: page.stdout }).on("line", (line) => {
      const address = line.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (!address) return;
      clearTimeout(late);
      resolve(address[0]);
    });
  });
}

/** A one-time link for a new account of this role, as `dooryard office account` makes it. */
async function link(office, role) {
  const name = `Browser ${Date.now()}`;
  const args = ["--json", "office", "account", "new", office, "--name", name, "--role", role, "--link"];
  const { stdout } = await run(path.join(built, "dooryard"), args);
  return JSON.parse(stdout).link;
}

/** What a command says, as one object of all its lines. */
async function said(...args) {
  const { stdout } = await run(path.join(built, "dooryard"), ["--json", ...args]);
  return Object.assign({}, ...stdout.split("\n").filter(Boolean).map((line) => JSON.parse(line)));
}

/** The bytes that `dooryard export` writes. */
async function exported(office, form, given) {
  const folder = await mkdtemp(path.join(tmpdir(), "dooryard-export-"));
  try {
    const out = path.join(folder, "out.csv");
    await run(path.join(built, "dooryard"), ["export", form, office, "--out", out, ...given]);
    return await readFile(out);
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** What `dooryard notebook list` says of the office's own notebook; `which` narrows it, such as `--kind photo`. */
async function records(office, which) {
  const args = ["notebook", "list", path.join(office, "notebook"), "--json", "--limit", "100000", ...which];
  const { stdout } = await run(path.join(built, "dooryard"), args, { maxBuffer: 1 << 26 });
  const rows = stdout.split("\n").filter(Boolean).map((line) => JSON.parse(line));
  return rows.filter((row) => row.kind !== undefined);
}
