// A curve from a photo: found, looked at, its ends moved, brought in and taken back.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { test } from "node:test";
import { inspect, openJob, openPage, samplePhoto, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const sample = samplePhoto();

async function openPhoto(options) {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, options);
  await openJob(page, program.base, id);
  await page.getByRole("button", { name: "Draw a seam" }).click();
  await page.locator(".from-picture input").setInputFiles(sample.file);
  const view = page.getByRole("dialog", { name: "A curve from a photo or scans" });
  await view.locator(".findings").waitFor();
  return { id, page, view };
}
const lengthTold = async (view) => Number(/of ([\d.]+) mm/.exec(await view.locator(".findings b").first().textContent())[1]);

test("a photo is traced, trusted more with a tape, and becomes a seam that is taken back", async () => {
  const { id, page, view } = await openPhoto();
  assert.equal(await view.locator(".mark").count(), 18);
  assert.match(await view.locator(".uses").textContent(), /Good for taking over a drawn line/);
  assert.match(await view.locator(".uses").textContent(), /Not for finding high spots/);
  assert.match(await view.locator(".findings").textContent(), /rests on the printed marks alone/);
  await view.getByLabel("number of the first mark").fill(sample.tape.from);
  await view.getByLabel("number of the second mark").fill(sample.tape.to);
  await view.getByLabel("distance between the two marks").fill(`${sample.tape.apart} mm`);
  await view.getByLabel("distance between the two marks").press("Tab");
  await page.waitForFunction(() => document.querySelector(".findings") && !/printed marks alone/.test(document.querySelector(".findings").textContent));
  // A tape that cannot be is told, at the place.
  await view.getByLabel("distance between the two marks").fill("900 mm");
  await view.getByLabel("distance between the two marks").press("Tab");
  await view.getByRole("alert").waitFor();
  assert.match(await view.getByRole("alert").textContent(), /by the picture it is about/);
  assert.equal(await view.locator(".trouble").count(), 1);
  assert.ok(await view.getByRole("button", { name: "Use this curve" }).isDisabled());
  await view.getByLabel("distance between the two marks").fill(`${sample.tape.apart} mm`);
  await view.getByLabel("distance between the two marks").press("Tab");
  await view.locator(".findings").waitFor();

  await view.locator(".use select").selectOption({ label: "front seam" });
  const before = (await program.screen(id)).seams.length;
  await view.locator(".use select").selectOption({ label: "a new seam" });
  await view.locator(".use input").fill("from the sketch");
  await view.getByRole("button", { name: "Use this curve" }).click();
  await view.waitFor({ state: "detached" });
  await saved(page);
  const after = await program.screen(id);
  assert.equal(after.seams.length, before + 1);
  assert.equal(after.seams.at(-1).name, "from the sketch");
  await page.keyboard.press("Control+z");
  await page.getByText(/Taken back: From the sketch brought in/).waitFor({ state: "attached" });
  await saved(page);
  assert.equal((await program.screen(id)).seams.length, before);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("the ends are dragged and moved with keys, and found anew", async () => {
  const { page, view } = await openPhoto();
  const whole = await lengthTold(view);
  const grip = view.getByRole("button", { name: /Start of the line/ });
  const line = await view.locator(".line").boundingBox();
  const at = await grip.boundingBox();
  // Which end is the start is the program's matter: the grip is dragged a third of the way to the other one.
  const inward = at.x < line.x + line.width / 2 ? 1 : -1;
  await page.mouse.move(at.x + at.width / 2, at.y + at.height / 2);
  await page.mouse.down();
  await page.mouse.move(at.x + at.width / 2 + (inward * line.width) / 3, line.y + line.height / 2, { steps: 5 });
  await page.mouse.up();
  await page.waitForFunction((w) => {
    const told = /of ([\d.]+) mm/.exec(document.querySelector(".findings b")?.textContent ?? "");
    return told && Number(told[1]) < 0.85 * w;
  }, whole);
  const shorter = await lengthTold(view);
  await grip.focus();
  await page.keyboard.press(inward > 0 ? "Shift+ArrowLeft" : "Shift+ArrowRight");
  await page.waitForFunction((w) => {
    const told = /of ([\d.]+) mm/.exec(document.querySelector(".findings b")?.textContent ?? "");
    return told && Number(told[1]) > w + 5;
  }, shorter);
  await view.getByRole("button", { name: /Find the ends/ }).click();
  await page.waitForFunction((w) => {
    const told = /of ([\d.]+) mm/.exec(document.querySelector(".findings b")?.textContent ?? "");
    return told && Math.abs(Number(told[1]) - w) < 1;
  }, whole);
  await page.keyboard.press("Escape");
  await view.waitFor({ state: "detached" });
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a photo is dropped on the drawing; a file that is none is told", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const bytes = [...readFileSync(sample.file)];
  await page.locator("#drawing").evaluate((node, data) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([new Uint8Array(data)], "dropped.jpg", { type: "image/jpeg" }));
    node.dispatchEvent(new DragEvent("drop", { bubbles: true, cancelable: true, dataTransfer: transfer }));
  }, bytes);
  const view = page.getByRole("dialog");
  await view.locator(".findings").waitFor();
  await view.getByRole("button", { name: "Leave it" }).click();
  await view.waitFor({ state: "detached" });

  const broken = path.join(mkdtempSync(path.join(os.tmpdir(), "seamwright-broken-")), "broken.jpg");
  writeFileSync(broken, readFileSync(sample.file).subarray(0, 30000));
  const bring = await unfold(page, "bring-in");
  await bring.locator("input[type=file]").setInputFiles(broken);
  await view.getByRole("alert").waitFor();
  assert.match(await view.getByRole("alert").textContent(), /cut short/);
  assert.ok(await view.getByRole("button", { name: "Use this curve" }).isDisabled());
  await page.context().close();
});

for (const theme of ["light", "dark"]) {
  for (const viewport of [{ width: 1366, height: 768 }, { width: 390, height: 844 }]) {
    test(`axe-core finds nothing in the view of a photo: ${theme}, ${viewport.width}`, async () => {
      const { page } = await openPhoto({ colorScheme: theme, viewport });
      await inspect(page, "a photo");
      await page.context().close();
    });
  }
}
