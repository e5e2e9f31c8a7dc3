// Whether a seam closes with real tools and hands: told, drawn along the seam, followed when the maker says more.
import assert from "node:assert/strict";
import { test } from "node:test";
import { chooseSeam, handle, inspect, middle, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();

test("a seam is told closing, and its pressure is drawn along it", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "closing");
  const told = page.locator("#closing .closing");
  await told.waitFor();
  assert.match(await told.locator(".verdict").textContent(), /It most likely closes/);
  assert.match(await told.textContent(), /Push .* toward the back/);
  assert.match(await told.textContent(), /keep fingers out of the seam/);
  assert.match(await told.textContent(), /Order of the glue-ups/);

  await page.getByRole("button", { name: "Show it pushed together" }).click();
  await page.locator(".track.pressure").waitFor();
  await page.locator(".label.closed_gap .reading", { hasText: "widest" }).waitFor();
  await page.locator(".tracks").focus();
  await page.keyboard.press("ArrowRight");
  assert.match(await page.locator(".tracks").getAttribute("aria-valuetext"), /Gap left, pushed together: 0\.0\d mm left\. Pressure of the clamps: \d/);
  await inspect(page, "a seam pushed together");

  // What the maker says about the work counts at once.
  const before = await told.locator(".verdict").textContent();
  await unfold(page, "whole");
  await page.getByLabel("unevenness of a routed edge").fill("0.2 mm");
  await page.getByLabel("unevenness of a routed edge").press("Tab");
  await page.waitForFunction((was) => {
    const now = document.querySelector("#closing .closing .verdict")?.textContent;
    return now && now !== was;
  }, before);
  assert.match(await told.locator(".verdict").textContent(), /hardly closes/);
  await saved(page);
  await page.keyboard.press("Control+z");
  await page.waitForFunction((was) => document.querySelector("#closing .closing .verdict")?.textContent === was, before);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("while a pin is dragged nothing old is shown", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await chooseSeam(page, 1);
  await page.getByRole("button", { name: "Show it pushed together" }).click();
  await page.locator(".label.closed_gap .reading", { hasText: "widest" }).waitFor();
  const heights = () => page.locator(".label").evaluateAll((all) => all.map((each) => each.getBoundingClientRect().height));
  const before = await heights();
  const [x, y] = await middle(handle(page, "/seams/1/curve/pins/points/1").locator(".mark"));
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y - 3, { steps: 3 });
  const reading = () => page.locator(".label.closed_gap .reading").textContent();
  await page.waitForFunction(() => document.querySelector(".label.closed_gap .reading").textContent === "");
  assert.equal(await page.locator(".track.closed_gap .worst").count(), 0);
  assert.deepEqual(await heights(), before, "nothing jumps");
  await page.mouse.up();
  await page.locator(".track.closed_gap .worst").waitFor({ state: "attached" });
  assert.match(await reading(), /mm/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("what no tools can cut is told and draws nothing; strange questions are refused", async () => {
  const id = await program.job({ example: "hall-console" });
  const get = (what) => fetch(`${program.base}/api/jobs/${id}/closing/${what}`);
  assert.equal((await get("0")).status, 200);
  assert.match((await (await get("7")).json()).verdict, /no such seam/);
  for (const wrong of ["", "x", "-1", "1e3", "99999999999"]) assert.equal((await get(wrong)).status, 404, wrong);
  const papers = (await program.screen(id)).papers.files.map((file) => file.name);
  assert.ok(papers.includes("front-seam-how-it-closes.pdf"));
  const marks = await fetch(`${program.base}/api/jobs/${id}/papers/reference-marks.pdf`);
  assert.equal(marks.status, 200);
  assert.equal(Buffer.from(await marks.arrayBuffer()).subarray(0, 5).toString(), "%PDF-");
});
