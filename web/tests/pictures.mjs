// Pictures of every view at three sizes, for the documentation and to be looked at.
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, statSync } from "node:fs";
import path from "node:path";
import { browse, chooseSeam, handle, middle, onTop, openJob, openPage, samplePhoto, serve, topBox, unfold } from "./bench.mjs";

const folder = process.argv[2];
// As PNG for a close look, as JPEG for the documentation: figured wood does not pack well as PNG.
const kind = process.argv[3] ?? "jpg";
mkdirSync(folder, { recursive: true });
const most_bytes = 300000;
const program = await serve();
const browser = await browse();
const jobs = {};
for (const example of ["hall-console", "bench-top", "round-table"]) jobs[example] = await program.job({ example });
jobs.measured = await program.job({ document: readFileSync(new URL("../../examples/measured-template.json", import.meta.url), "utf8") });
const photo = samplePhoto();
jobs.blank = await program.job({ blank: { unit: "mm" } });

const sizes = { phone: { width: 390, height: 844 }, laptop: { width: 1366, height: 768 }, large: { width: 2560, height: 1440 } };
async function take(page, name) {
  const file = path.join(folder, `${name}.${kind}`);
  await page.waitForTimeout(250);
  await page.screenshot(kind === "png" ? { path: file } : { path: file, type: "jpeg", quality: name.includes("large") ? 45 : 80 });
  const bytes = statSync(file).size;
  if (kind === "jpg" && bytes > most_bytes) console.log(`${name}.jpg is ${bytes} bytes`);
}

for (const [size, viewport] of Object.entries(sizes)) {
  for (const colorScheme of ["light", "dark"]) {
    const page = await openPage(browser, program.base, { viewport, colorScheme });
    const name = (view) => `${view}-${size}-${colorScheme}`;
    const shown = async (id) => {
      await unfold(page, id);
      await page.locator(`#${id}`).evaluate((node) => node.scrollIntoView());
    };
    await openJob(page, program.base, jobs["hall-console"]);
    await chooseSeam(page, 1);
    if (size !== "phone") await page.mouse.move(...(await middle(page.locator(".tracks"))));
    await take(page, name("hall-console"));
    if (colorScheme === "light") {
      await page.locator("#seam").evaluate((node) => node.scrollIntoView());
      if (size === "phone") await take(page, name("seam"));
      await shown("chain");
      await take(page, name("chain"));
      await shown("shelf");
      await take(page, name("shelf"));
      await shown("papers");
      await page.getByLabel("Show the sheets over the drawing").check();
      await take(page, name("papers"));
      await page.getByLabel("Show the sheets over the drawing").uncheck();
      await page.getByRole("button", { name: "Show as a table" }).click();
      await page.locator("#seam").evaluate((node) => node.scrollIntoView());
      await take(page, name("table"));
      await openJob(page, program.base, jobs["bench-top"]);
      await take(page, name("bench-top"));
      await openJob(page, program.base, jobs.blank);
      await page.getByRole("button", { name: "Draw a seam" }).click();
      await take(page, name("ways"));
      await page.getByRole("button", { name: "a batten through pins" }).click();
      for (const [across, up] of [[0.02, 0.5], [0.35, 0.62]]) await page.mouse.click(...(await onTop(page, across, up)));
      await page.mouse.move(...(await onTop(page, 0.7, 0.4)));
      await take(page, name("drawing-a-seam"));
      await page.keyboard.press("Escape");
    }
    await openJob(page, program.base, jobs["round-table"]);
    await chooseSeam(page, 1);
    await take(page, name("round-table"));
    if (colorScheme === "light") {
      await openJob(page, program.base, jobs.measured);
      await chooseSeam(page, 0);
      await page.locator(".track.made").waitFor();
      if (size === "phone") await page.locator("#seam").evaluate((node) => node.scrollIntoView());
      await take(page, name("measured"));
      await openJob(page, program.base, jobs["bench-top"]);
      await shown("closing");
      await page.locator("#closing .closing").waitFor();
      await page.getByRole("button", { name: "Show it pushed together" }).click();
      await page.locator(".track.pressure").waitFor();
      await take(page, name("closing"));
      await page.getByRole("button", { name: "Show it as cut" }).click();
      await page.getByRole("button", { name: "Draw a seam" }).click();
      await page.locator(".from-picture input").setInputFiles(photo.file);
      await page.locator(".findings").waitFor();
      await take(page, name("photo"));
      await page.keyboard.press("Escape");
    }

    // A pin dragged to where no tool follows.
    const drag = await program.job({ example: "hall-console" });
    await openJob(page, program.base, drag);
    await chooseSeam(page, 1);
    const [x, y] = await middle(handle(page, "/seams/1/curve/pins/points/2").locator(".mark"));
    const next = await middle(handle(page, "/seams/1/curve/pins/points/3").locator(".mark"));
    await page.mouse.move(x, y);
    await page.mouse.down();
    const { height } = await topBox(page);
    await page.mouse.move(next[0] - (next[0] - x) / 12, y - height * 0.42, { steps: 8 });
    await page.waitForTimeout(600);
    await take(page, name("problems"));
    await page.keyboard.press("Escape");
    await page.mouse.up();
    await page.evaluate((id) => fetch(`/api/jobs/${id}/delete`, { method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" }), drag);

    await page.goto(`${program.base}/#/jobs`);
    await page.locator(".ledger li").first().waitFor();
    await take(page, name("jobs"));
    await page.goto(`${program.base}/shop?job=${jobs["hall-console"]}`);
    await page.locator(".shop li").first().waitFor();
    await page.locator(".shop li input").first().check();
    await page.locator(".shop li.next").scrollIntoViewIfNeeded();
    await take(page, name("shop"));
    if (page.faults.length > 0) console.log(page.faults);
    await page.context().close();
  }
}
await browser.close();
await program.close();
console.log(execFileSync("du", ["-sh", folder]).toString().trim());
