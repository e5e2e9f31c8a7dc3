// What is printed: sheets to glue together, the roll, the job as data.
import { For, Show, onCleanup, onMount } from "solid-js";
import { settled } from "../bench";
import { overlays, setSheetsOf, sheetSets, sheetsOf, toggleOverlay } from "../choice";
import { server } from "../server";
import { lastWork, watchWork, work } from "../work";
import { cardOf } from "./Blank";
import { Sentences } from "./Sentences";

const size = (bytes: number): string => (bytes > 0 ? `${Math.max(1, Math.round(bytes / 1000))} kB` : "");
const kind = (name: string): string => name.slice(name.lastIndexOf(".") + 1).toUpperCase();

export function Papers() {
  return (
    <div class="papers">
      <Show when={cardOf("/paper")}>{(card) => <Sentences card={card()} />}</Show>
      <p>
        <label class="switch">
          <input type="checkbox" checked={overlays().has("sheets")} onChange={() => toggleOverlay("sheets")} />
          Show the sheets over the drawing
        </label>
        <Show when={overlays().has("sheets") && sheetSets().length > 1}>
          <label class="whose">
            those of{" "}
            <select value={String(sheetsOf())} onChange={(e) => setSheetsOf(Number(e.currentTarget.value))}>
              <For each={sheetSets()}>{(set, i) => <option value={String(i())}>{set.template}</option>}</For>
            </select>
          </label>
        </Show>
      </p>
      <Show
        when={(settled()?.papers.files.length ?? 0) > 0}
        fallback={<p class="none">Nothing can be printed yet: the plan first needs what is listed under "what is known".</p>}
      >
        <p>Print at full size, with no fitting to the page, and measure the 100 mm bars before you saw.</p>
        <ul class="files">
          <For each={settled()?.papers.files ?? []}>
            {(file) => (
              <li>
                <a href={server.paperAddress(settled()!.id, file.name)} download={file.name}>
                  {file.says}
                </a>
                <span class="kind">
                  {kind(file.name)} {size(file.bytes)}
                </span>
              </li>
            )}
          </For>
        </ul>
      </Show>
      <WorkFiles />
      <p>
        <a href={server.exportAddress(settled()?.id ?? 0)} download="">
          Take the job with you
        </a>{" "}
        as a job file that any Seamwright can open.
      </p>
    </div>
  );
}

/** Of the work from the boards to the delivery: those that can be made, and why one cannot. */
function WorkFiles() {
  onMount(() => watchWork(1));
  onCleanup(() => watchWork(-1));
  return (
    <Show when={lastWork()} fallback={<p class="none">Book, quote, cut list and calendar: being worked out …</p>}>
      {(view) => (
        <Show when={view().files.length > 0}>
          <p>For the whole work, from the boards to the delivery:</p>
          <ul class="files work-files" aria-busy={work() === null}>
            <For each={view().files}>
              {(file) => (
                <li>
                  <Show
                    when={file.lacks === ""}
                    fallback={
                      <span>
                        {file.says}
                        <br />
                        <span class="none">{file.lacks}</span>
                      </span>
                    }
                  >
                    <a href={server.paperAddress(settled()!.id, file.name)} download={file.name}>
                      {file.says}
                    </a>
                  </Show>
                  <span class="kind">{kind(file.name)}</span>
                </li>
              )}
            </For>
          </ul>
        </Show>
      )}
    </Show>
  );
}
