// What every test of the page needs: the program serving a fresh data file, and a real browser.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import net from "node:net";
import os from "node:os";
import path from "node:path";
import { after } from "node:test";
import { chromium } from "playwright-core";

const program = process.env.SEAMWRIGHT_PROGRAM;
if (!program) throw new Error("SEAMWRIGHT_PROGRAM says which program to test; tools/page-tests.sh sets it.");

const freePort = () =>
  new Promise((resolve, reject) => {
    const probe = net.createServer();
    probe.once("error", reject);
    probe.listen(0, "127.0.0.1", () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });

/** The program on a free port with an empty data file of its own. */
export async function serve() {
  const folder = mkdtempSync(path.join(os.tmpdir(), "seamwright-page-"));
  const data = path.join(folder, "jobs.sqlite");
  const port = await freePort();
  const base = `http://127.0.0.1:${port}`;
  let child;
  let output = "";
  async function start() {
    child = spawn(program, ["serve", "--port", String(port), "--data", data], {
      env: { ...process.env, XDG_DATA_HOME: folder },
      stdio: ["ignore", "pipe", "pipe"],
    });
    child.stdout.on("data", (part) => (output += part));
    child.stderr.on("data", (part) => (output += part));
    const until = Date.now() + 20000;
    for (;;) {
      try {
        if ((await fetch(`${base}/api/jobs`)).ok) return;
      } catch {
        // Not listening yet.
      }
      if (child.exitCode !== null || Date.now() > until) throw new Error(`the program does not serve: ${output}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
  async function stop() {
    if (child.exitCode !== null) return;
    const ended = new Promise((resolve) => child.once("exit", resolve));
    child.kill("SIGINT");
    await ended;
  }
  await start();
  return {
    base,
    async restart() {
      await stop();
      await start();
    },
    async close() {
      await stop();
      rmSync(folder, { recursive: true, force: true });
    },
    /** A new job by the interface itself; gives its number. */
    async job(wanted) {
      const answer = await fetch(`${base}/api/jobs`, {
        method: "POST",
        headers: { "Content-Type": "application/json", Origin: base },
        body: JSON.stringify(wanted),
      });
      if (answer.status !== 201) throw new Error(`no job: ${answer.status} ${await answer.text()}`);
      return (await answer.json()).id;
    },
    screen: async (id) => (await fetch(`${base}/api/jobs/${id}`)).json(),
  };
}

export const browse = () =>
  chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });

/** The program and a browser for all tests of a file, ended after the last of them. */
export async function standUp() {
  const program = await serve();
  after(() => program.close());
  const browser = await browse();
  after(() => browser.close());
  return { program, browser };
}

/** A page that fails the test when it throws, complains, or asks anybody but the program. */
export async function openPage(browser, base, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, reducedMotion: "reduce", ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => {
    // An answer of 409 or 422 is part of the conversation, and the browser writes it down as an error.
    if (message.type() === "error" && !/status of (409|422)/.test(message.text())) faults.push(message.text());
  });
  page.on("request", (request) => {
    // A picture that the maker chose lies in the page itself, under an address of its own (blob:).
    if (!request.url().replace(/^blob:/, "").startsWith(base) && !request.url().startsWith("data:")) faults.push(`asked elsewhere: ${request.url()}`);
  });
  page.faults = faults;
  return page;
}

export async function openJob(page, base, id) {
  await page.goto(`${base}/#/job/${id}`);
  await page.locator("svg.drawing .outline").waitFor();
  // The drawing has found its size when the top no longer is a point.
  await page.waitForFunction(() => document.querySelector(".drawing .outline")?.getBoundingClientRect().width > 50);
}

/** Nothing is on its way to the store. */
export const saved = (page) => page.locator(".saved:not(.busy)").waitFor();

/** Where the top stands on the screen, without the width of its line. */
export const topBox = (page) =>
  page.evaluate(() => {
    const node = document.querySelector(".drawing .outline");
    const box = node.getBBox();
    const to = node.getScreenCTM();
    // y points up on the top, down on the screen.
    return { x: to.a * box.x + to.e, y: to.d * (box.y + box.height) + to.f, width: to.a * box.width, height: -to.d * box.height };
  });

/** A place on the drawing, as parts of the outline's box on the screen. */
export async function onTop(page, across, up) {
  const box = await topBox(page);
  return [box.x + box.width * across, box.y + box.height * (1 - up)];
}

export async function middle(locator) {
  const box = await locator.boundingBox();
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** Opens a section of the reading column. */
export async function unfold(page, id) {
  const fold = page.locator(`#${id}`);
  if ((await fold.getAttribute("open")) === null) await fold.locator("> summary").click();
  await fold.locator("> .body").waitFor();
  return fold;
}

/** Chooses a seam by keyboard, so that its handles are shown. */
export async function chooseSeam(page, index) {
  const seam = page.locator(`[data-seam="${index}"]`);
  const chosen = await seam.evaluate((node) => node.parentElement.classList.contains("chosen"));
  if (chosen) return;
  await seam.focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction((i) => document.querySelector(`[data-seam="${i}"]`)?.parentElement.classList.contains("chosen"), index);
}

export const handle = (page, id) => page.locator(`[data-handle="${id}"]`);

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** axe-core finds nothing on the page as it stands. */
export async function inspect(page, view) {
  // The policy of the page forbids scripts of others; the driver puts this one in from outside.
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    const result = await window.axe.run(document, { resultTypes: ["violations"] });
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target.join(" ")} (${n.any.map((a) => a.message).join("; ")})`).slice(0, 4).join(" | ")}`);
  });
  assert.deepEqual(found, [], view);
}

/** An invented photograph of a board of 1700 × 220 mm, and its corners in pixels: near left, near right, far right, far left. */
export function boardPhoto() {
  const maker = path.join(path.dirname(program), "src/trace/sample_photo");
  if (!existsSync(maker)) throw new Error(`${maker} is built with the tests (preset test).`);
  const file = path.join(mkdtempSync(path.join(os.tmpdir(), "seamwright-photo-")), "board.jpg");
  const told = execFileSync(maker, [file, "--board", "--width", "2000"], { encoding: "utf8" });
  const corners = [...told.matchAll(/([\d.]+),([\d.]+)/g)].map((m) => [Number(m[1]), Number(m[2])]);
  return { file, corners };
}

/** An invented photograph by the tests' own camera (tests/trace/sample_photo_main.cpp), and what the tape says. */
export function samplePhoto(...options) {
  const maker = path.join(path.dirname(program), "src/trace/sample_photo");
  if (!existsSync(maker)) throw new Error(`${maker} is built with the tests (preset test).`);
  const file = path.join(mkdtempSync(path.join(os.tmpdir(), "seamwright-photo-")), "sketch.jpg");
  const [, from, to, apart] = /--tape (\d+)-(\d+)=([\d.]+)/.exec(execFileSync(maker, [file, "--width", "2000", ...options], { encoding: "utf8" }));
  return { file, tape: { from, to, apart } };
}
