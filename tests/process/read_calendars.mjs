// Reads iCalendar files by an independent parser (ical.js, an npm package) and prints what it found, one event a line:
//   ["uid","start","end","transparency","summary","description"]
//
//   node read_calendars.mjs REPOSITORY FILE…
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [repository, ...files] = process.argv.slice(2);
const packages = createRequire(pathToFileURL(join(repository, "web/package.json")));
const { default: ICAL } = await import(pathToFileURL(packages.resolve("ical.js")));
const utf8 = new TextDecoder("utf-8", { fatal: true });

function fail(why) {
  console.error(why);
  process.exit(1);
}

for (const file of files) {
  const bytes = readFileSync(file);
  // RFC 5545, section 3.1: CRLF ends every line and no octet of it stands alone; 75 octets; each line is whole UTF-8.
  const text = bytes.toString("latin1");
  if (!text.endsWith("\r\n")) fail(`${file}: the last line has no end`);
  for (const line of text.slice(0, -2).split("\r\n")) {
    if (/[\r\n]/.test(line)) fail(`${file}: CR or LF alone: ${line}`);
    if (line.length > 75) fail(`${file}: ${line.length} octets: ${line}`);
    try {
      utf8.decode(Buffer.from(line, "latin1"));
    } catch {
      fail(`${file}: a letter is cut in two: ${line}`);
    }
  }
  const calendar = new ICAL.Component(ICAL.parse(utf8.decode(bytes)));
  if (calendar.name !== "vcalendar" || calendar.getFirstPropertyValue("version") !== "2.0")
    fail(`${file}: no calendar of version 2.0`);
  if (!calendar.getFirstPropertyValue("prodid")) fail(`${file}: PRODID is missing`);
  for (const component of calendar.getAllSubcomponents("vevent")) {
    const stamps = component.getAllProperties("dtstamp");
    if (stamps.length !== 1 || stamps[0].getFirstValue().zone.tzid !== "UTC") fail(`${file}: DTSTAMP is not in UTC`);
    const event = new ICAL.Event(component);
    if (event.startDate.zone !== ICAL.Timezone.localTimezone) fail(`${file}: DTSTART does not float`);
    const end = component.getFirstPropertyValue("dtend");
    console.log(
      JSON.stringify([
        event.uid,
        event.startDate.toString(),
        end ? end.toString() : "",
        component.getFirstPropertyValue("transp"),
        event.summary,
        event.description ?? "",
      ]),
    );
  }
}
