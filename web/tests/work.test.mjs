// The work around the drawing: tools and ways of copying, papers, jobs, history, two windows, the shop.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync, mkdtempSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { test } from "node:test";
import { chooseSeam, handle, inspect, middle, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();

test("another way of copying is chosen and given back; a measured guide changes what is told", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const chains = page.locator(".chains > li");
  await chains.first().waitFor();
  assert.match(await chains.first().textContent(), /Chosen by the plan/);
  const before = (await program.screen(id)).seams[0].chains.find((c) => c.chosen).id;
  await chains.nth(2).getByRole("button", { name: /Make it this way/ }).click();
  await page.getByText("Chosen by you").waitFor();
  await saved(page);
  const after = (await program.screen(id)).seams[0].chains.find((c) => c.chosen);
  assert.notEqual(after.id, before);
  assert.ok(after.pinned);
  await page.locator("#chain").getByRole("button", { name: "Let the plan choose" }).click();
  await page.getByText("Chosen by the plan").waitFor();
  await saved(page);
  assert.equal((await program.screen(id)).seams[0].chains.find((c) => c.chosen).id, before);

  await unfold(page, "shelf");
  const measured = page.getByRole("textbox", { name: /measured outside of 30 mm guide/ });
  await measured.fill("29.8");
  await measured.press("Enter");
  await page.waitForFunction(() => document.querySelector(".undo")?.textContent.includes("30 mm guide") || document.querySelector(".undo") !== null);
  await saved(page);
  assert.notEqual((await program.screen(id)).seams[0].chains[0].steps[1].lines.join(), "", "the steps are told");
  assert.ok((await program.screen(id)).shelf.guides[0].fields.some((f) => /29\.8/.test(f.value)));
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a test cut is begun, measured and taken over", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const shelf = await unfold(page, "shelf");
  const cuts = shelf.getByRole("region", { name: "Test cuts" });
  await cuts.getByRole("button", { name: "Make a test cut" }).click();
  await cuts.getByRole("combobox", { name: "guide" }).selectOption("30 mm guide");
  await cuts.getByRole("combobox", { name: "cutter" }).selectOption("10 mm straight cutter");
  await cuts.getByRole("button", { name: "Begin it" }).click();
  const sheet = cuts.getByRole("link", { name: "Print its sheet" });
  await sheet.waitFor();
  const got = await fetch(program.base + (await sheet.getAttribute("href")));
  assert.equal(got.status, 200);
  assert.equal(Buffer.from(await got.arrayBuffer()).subarray(0, 5).toString(), "%PDF-");
  const told = cuts.locator(".closing");
  assert.match(await told.textContent(), /Nothing yet/);
  // 30.06 and 9.94; the cutter stands 0.08 to the right.
  const read = [9.94, 9.94, 9.94, 10.06, 10.06, 10.06, 10.06, 10.06, 10.06, 10.14, 10.12, 10.6, 10.0, 9.98];
  for (const [i, value] of read.entries()) {
    const blank = cuts.locator(".places input").nth(i);
    await blank.fill(String(value));
    await blank.press("Tab");
  }
  await saved(page);
  await told.getByText(/Place 12 .* does not go with the others/).waitFor();
  assert.equal(await cuts.getByRole("button", { name: "Take these sizes over" }).count(), 0);
  await cuts.locator(".places input").nth(11).fill("10.06");
  await cuts.locator(".places input").nth(11).press("Tab");
  await told.getByText(/30\.06 mm ± /).waitFor();
  await inspect(page, "a test cut");
  await cuts.getByRole("button", { name: "Take these sizes over" }).click();
  await cuts.getByText("taken over", { exact: true }).waitFor();
  await saved(page);
  const after = (await program.screen(id)).shelf;
  assert.match(after.guides[0].fields[1].value, /^30\.06/);
  assert.equal(after.test_cuts[0].kept, true);
  await page.keyboard.press("Control+z");
  await cuts.getByRole("button", { name: "Take these sizes over" }).waitFor();
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a tool is put on the shelf and taken off", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const shelf = await unfold(page, "shelf");
  const rows = shelf.getByRole("region", { name: "Guides" }).locator("li");
  const count = await rows.count();
  await shelf.getByRole("button", { name: "Put a guide on the shelf" }).click();
  await shelf.getByLabel("outside diameter", { exact: true }).fill("27 mm");
  await shelf.getByLabel("barrel stands out").fill("a lot");
  await shelf.getByRole("button", { name: "Put it there" }).click();
  await shelf.getByRole("alert").waitFor();
  assert.match(await shelf.getByRole("alert").textContent(), /a lot/);
  await shelf.getByLabel("barrel stands out").fill("9");
  await shelf.getByRole("button", { name: "Put it there" }).click();
  await page.waitForFunction((n) => document.querySelectorAll('[aria-label="Guides"] li').length === n, count + 1);
  await saved(page);
  assert.equal((await program.screen(id)).shelf.guides.at(-1).name.value, "27 mm guide");
  await shelf.getByRole("button", { name: /Take off 27 mm guide/ }).click();
  await page.waitForFunction((n) => document.querySelectorAll('[aria-label="Guides"] li').length === n, count);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("what cannot be read is told at its field, and stays there to be put right", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await page.locator(".drawing .outline").waitFor();
  await chooseSeam(page, 1);
  const blank = page.getByRole("textbox", { name: "pin 3 of back seam, from the front" });
  await blank.fill("a hand's breadth");
  await blank.press("Enter");
  const told = page.locator(".chosen .told");
  await told.waitFor();
  assert.match(await told.textContent(), /hand's breadth/);
  assert.equal(await blank.inputValue(), "a hand's breadth");
  assert.equal((await program.screen(id)).version, 1);
  await blank.fill("10 1/4 in");
  await blank.press("Enter");
  await told.waitFor({ state: "detached" });
  await saved(page);
  assert.ok(Math.abs((await program.screen(id)).seams[1].handles.find((h) => h.id.endsWith("/2")).at[1] - 260.35) < 1e-6);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("every choice offered in the reading column can be made, and is taken back by one undo", async () => {
  // Seams and an outline of many kinds, so that many kinds of choice are met.
  const jobs = [{ blank: { unit: "mm" } }, { example: "hall-console" }, { example: "bench-top" }, { example: "round-table" }];
  let made = 0;
  for (const wanted of jobs) {
    const id = await program.job(wanted);
    const page = await openPage(browser, program.base);
    await openJob(page, program.base, id);
    for (const part of ["whole", "shelf", "papers"]) await unfold(page, part);
    const seams = await page.locator("[data-seam]").count();
    const tried = new Set();
    for (let seam = 0; seam < Math.max(1, seams); seam++) {
      if (seam < seams) await chooseSeam(page, seam);
      const fields = await page.locator(".column select").evaluateAll((all) =>
        all
          .filter((node) => node.closest(".blank"))
          .map((node) => ({ label: node.getAttribute("aria-label"), now: node.value, others: [...node.options].map((o) => o.value).filter((v) => v !== node.value) })),
      );
      for (const { label, now, others } of fields.filter((field) => !tried.has(field.label))) {
        tried.add(label);
        for (const other of others) {
          const field = page.getByLabel(label, { exact: true });
          await field.selectOption(other);
          // It stands there afterwards and the store has it, or the reason why not stands beside it.
          const answer = await page.waitForFunction(
            ([name, value]) => {
              const node = [...document.querySelectorAll("select")].find((n) => n.getAttribute("aria-label") === name);
              if (node?.closest(".blank").querySelector(".told[role=alert]")) return "refused";
              return node?.value === value && document.querySelector(".undo") !== null && "made";
            },
            [label, other],
          );
          assert.equal(await answer.jsonValue(), "made", `${JSON.stringify(wanted)}: ${label}: ${other}`);
          await saved(page);
          made++;
          await page.locator(".undo").click();
          await page.locator(".undo").waitFor({ state: "detached" });
          await saved(page);
          assert.equal(await field.inputValue(), now, `${label}: ${other} is taken back`);
        }
      }
    }
    assert.deepEqual(page.faults, []);
    await page.context().close();
  }
  console.log(`    ${made} choices made and taken back`);
  assert.ok(made > 60);
});

test("papers are shown over the drawing and fetched", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await page.getByRole("link", { name: "Print" }).click();
  const papers = page.locator("#papers > .body");
  await papers.waitFor();
  await papers.getByLabel("Show the sheets over the drawing").check();
  assert.ok((await page.locator(".sheets path").count()) > 5);
  const first = await page.locator(".sheets path").first().getAttribute("d");
  await papers.getByLabel("those of").selectOption({ index: 1 });
  await page.waitForFunction((was) => document.querySelector(".sheets path").getAttribute("d") !== was, first);
  const [download] = await Promise.all([page.waitForEvent("download"), papers.getByRole("link", { name: /left master template, full size on sheets/ }).first().click()]);
  const file = readFileSync(await download.path());
  assert.equal(file.subarray(0, 5).toString(), "%PDF-");
  assert.ok(file.length > 10000);
  const [exported] = await Promise.all([page.waitForEvent("download"), papers.getByRole("link", { name: "Take the job with you" }).click()]);
  assert.equal(JSON.parse(readFileSync(await exported.path(), "utf8")).name, "Hall console");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("everything is found again after a reload and a restart, and undo goes on from there", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const name = page.getByRole("textbox", { name: "Name of the job" });
  await name.fill("Console for the hall");
  await name.press("Enter");
  await page.locator(".undo").waitFor();
  await chooseSeam(page, 1);
  await handle(page, "/seams/1/curve/pins/points/2").focus();
  await page.keyboard.press("Shift+ArrowUp");
  await page.waitForFunction(() => document.querySelector(".undo")?.textContent.toLowerCase().includes("pin"));
  await saved(page);
  const moved = (await program.screen(id)).seams[1].d;

  await program.restart();
  // What the page asked while the program was away was refused; from the reload on nothing is.
  page.faults.splice(0, Infinity, ...page.faults.filter((fault) => !/ERR_CONNECTION_REFUSED/.test(fault)));
  await page.reload();
  await page.locator(".undo").waitFor();
  assert.equal(await name.inputValue(), "Console for the hall");
  assert.equal(await page.locator('.seam:nth-child(2) .line').getAttribute("d"), moved);
  await page.keyboard.press("Control+z");
  await page.waitForFunction(() => document.querySelector(".undo")?.textContent.toLowerCase().includes("called"));
  await page.keyboard.press("Control+z");
  await page.locator(".undo").waitFor({ state: "detached" });
  assert.equal(await name.inputValue(), "Hall console");
  await page.keyboard.press("Control+y");
  await page.keyboard.press("Control+y");
  await page.locator(".redo").waitFor({ state: "detached" });
  await saved(page);
  assert.equal((await program.screen(id)).seams[1].d, moved);

  const history = await unfold(page, "history");
  await history.locator("li").nth(2).waitFor();
  await history.getByRole("button", { name: /Go back to this/ }).last().click();
  await page.waitForFunction(() => document.querySelector(".masthead input").value === "Hall console");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("two windows on one job: the later one is told, nothing is lost", async () => {
  const id = await program.job({ example: "hall-console" });
  const one = await openPage(browser, program.base);
  const two = await openPage(browser, program.base);
  // The second window is kept from looking, so that its change meets the other's.
  await two.route("**/version", (route) => route.abort());
  await openJob(one, program.base, id);
  await openJob(two, program.base, id);
  await chooseSeam(one, 1);
  await chooseSeam(two, 1);
  await handle(one, "/seams/1/curve/pins/points/1").focus();
  await one.keyboard.press("Shift+ArrowUp");
  await one.locator(".undo").waitFor();
  await saved(one);
  const first = (await program.screen(id)).seams[1].handles.find((h) => h.id.endsWith("/1")).value;

  const name = two.getByRole("textbox", { name: "Name of the job" });
  await name.fill("Named in the second window");
  await name.press("Enter");
  const notice = two.locator(".notice");
  await notice.waitFor();
  assert.match(await notice.textContent(), /another window/);
  assert.equal(await name.inputValue(), "Hall console", "the screen shows the job as it stands");
  await notice.getByRole("button", { name: "Do it again on top" }).click();
  await two.waitForFunction(() => document.querySelector(".masthead input").value === "Named in the second window");
  await saved(two);
  const both = await program.screen(id);
  assert.equal(both.name, "Named in the second window");
  assert.equal(both.seams[1].handles.find((h) => h.id.endsWith("/1")).value, first, "the first window's change is still there");

  // The first window looks by itself, and tells what changed.
  await one.waitForFunction(() => document.querySelector(".masthead input").value === "Named in the second window", undefined, { timeout: 6000 });
  assert.match(await one.locator(".notice").textContent(), /another window/);
  assert.deepEqual(one.faults, []);
  assert.deepEqual(two.faults.filter((fault) => !/ERR_FAILED/.test(fault)), []);
  await one.context().close();
  await two.context().close();
});

test("jobs are begun, duplicated, put away and fetched back; a bad file is told", async () => {
  const page = await openPage(browser, program.base);
  await page.goto(`${program.base}/#/jobs`);
  await page.getByRole("button", { name: "round table", exact: true }).click();
  await page.locator("svg.drawing .outline").waitFor();
  await page.getByRole("link", { name: "Jobs" }).click();
  const rows = page.locator(".jobs section .ledger > li");
  await rows.first().waitFor();
  const count = await rows.count();
  await page.getByRole("button", { name: "Duplicate Round table" }).first().click();
  await page.waitForFunction((n) => document.querySelectorAll(".jobs section .ledger > li").length === n, count + 1);
  await page.getByRole("button", { name: "Put away Round table" }).first().click();
  await page.waitForFunction((n) => document.querySelectorAll(".jobs section .ledger > li").length === n, count);
  await page.locator(".notice").getByRole("button", { name: "Put it back" }).click();
  await page.waitForFunction((n) => document.querySelectorAll(".jobs section .ledger > li").length === n, count + 1);

  const folder = mkdtempSync(path.join(os.tmpdir(), "seamwright-file-"));
  const bad = path.join(folder, "bad.json");
  writeFileSync(bad, readFileSync(new URL("../../examples/bench-top.json", import.meta.url), "utf8").replace('"unit": "in"', '"unit": "furlong"'));
  await page.locator("input[type=file]").setInputFiles(bad);
  await page.getByRole("alert").waitFor();
  assert.match(await page.getByRole("alert").textContent(), /furlong/);
  const good = path.join(folder, "good.json");
  writeFileSync(good, readFileSync(new URL("../../examples/bench-top.json", import.meta.url)));
  await page.locator("input[type=file]").setInputFiles(good);
  await page.locator("svg.drawing .outline").waitFor();
  assert.match(await page.title(), /Bench top/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a curve is brought in from SVG path data", async () => {
  const id = await program.job({ blank: { unit: "mm" } });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const fold = await unfold(page, "bring-in");
  await fold.getByLabel("or its content").fill("M -20 200 C 300 300 700 100 1220 220");
  await fold.getByLabel("called").fill("from paper");
  await fold.getByRole("button", { name: "Bring it in" }).click();
  await page.locator(".tracks").waitFor();
  await saved(page);
  const screen = await program.screen(id);
  assert.equal(screen.seams[0].name, "from paper");
  assert.ok(screen.seams[0].planned);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("strip and drawing point at each other; the strip is read by keys and as a table", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const tracks = page.locator(".tracks");
  const box = await tracks.boundingBox();
  await page.mouse.move(box.x + box.width * 0.6, box.y + 40);
  await page.locator(".plumb-mark").waitFor();
  const there = await tracks.getAttribute("aria-valuetext");
  assert.match(there, /from the start.*radius/);
  await tracks.focus();
  await page.keyboard.press("ArrowRight");
  assert.notEqual(await tracks.getAttribute("aria-valuetext"), there);
  await page.keyboard.press("Home");
  assert.match(await tracks.getAttribute("aria-valuetext"), /^0\.0 mm from the start/);
  const [x, y] = await middle(page.locator(".seam.chosen .touch"));
  await page.mouse.move(x, y);
  await page.waitForFunction(() => !document.querySelector(".tracks").getAttribute("aria-valuetext").startsWith("0.0 mm"));
  await page.getByRole("button", { name: "Show as a table" }).click();
  const rows = page.locator(".table-frame tbody tr");
  assert.ok((await rows.count()) > 15);
  assert.match(await page.locator(".table-frame").textContent(), /tightest/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("the steps stay checked in the shop", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 390, height: 844 } });
  await page.goto(`${program.base}/shop?job=${id}`);
  const steps = page.locator(".shop li");
  await steps.first().waitFor();
  await steps.first().getByRole("checkbox").check();
  await page.reload();
  await steps.first().waitFor();
  assert.ok(await steps.first().getByRole("checkbox").isChecked());
  assert.match(await page.locator(".count").textContent(), /^\s*1 of/);
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
  assert.equal(await page.locator("input:not([type=checkbox]), textarea, select").count(), 0, "nothing can be changed");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("from one job to another and back by the address alone", async () => {
  const one = await program.job({ example: "hall-console" });
  const two = await program.job({ example: "round-table" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, one);
  await page.evaluate((id) => (location.hash = `#/job/${id}`), two);
  await page.waitForFunction(() => document.querySelector(".masthead input")?.value === "Round table");
  await page.goBack();
  await page.waitForFunction(() => document.querySelector(".masthead input")?.value === "Hall console");
  await page.evaluate(() => (location.hash = "#/job/999999"));
  await page.getByRole("link", { name: "To the jobs" }).click();
  await page.locator(".ledger li").first().waitFor();
  assert.deepEqual(page.faults.filter((fault) => !/status of 404/.test(fault)), []);
  await page.context().close();
});

test("a value that was refused does not stand in the way of another job", async () => {
  const one = await program.job({ example: "hall-console" });
  const two = await program.job({ blank: { unit: "in" } });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, one);
  const blank = page.getByRole("textbox", { name: "start of front seam, from the front" });
  await blank.fill("much");
  await blank.press("Enter");
  await page.locator(".chosen .told").waitFor();
  await page.evaluate((id) => (location.hash = `#/job/${id}`), two);
  await page.waitForFunction(() => document.querySelector(".masthead input")?.value === "New top");
  assert.equal(await page.locator(".notice").count(), 0);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
