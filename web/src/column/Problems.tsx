// What stands in the way, or should be looked at, with remedies that can be pressed.
import type { Problem } from "../protocol";
import { For, Index, Show } from "solid-js";
import { change, picture } from "../bench";
import { goTo, setLit } from "../choice";
import { askForWood, problems } from "../problems";
import { sentence } from "../words";

/** A piece that was given an entry is shown, so that its wood can be chosen next. */
async function cure(remedy: string, problem: Problem): Promise<void> {
  const { pointer, at } = problem;
  if (!(await change([{ remedy }])) || pointer !== "/pieces") return;
  goTo(pointer, at);
  askForWood();
}

export function Problems() {
  return (
    <Show when={problems().length > 0}>
      <ol class="problems" aria-label="Problems">
        <Index each={problems()}>
          {(problem) => (
            <li class={problem().weight}>
              <span class="number" aria-hidden="true">
                {problem().number}
              </span>
              <div>
                <p class="found">
                  <span class="unseen">{problem().weight === "error" ? "In the way: " : "Worth a look: "}</span>
                  {sentence(problem().found)}
                </p>
                <Show when={problem().allowed}>
                  <p class="allowed">Wanted: {problem().allowed.replace(/\.$/, "")}.</p>
                </Show>
                <p class="remedy">{sentence(problem().remedy)}</p>
                <p class="presses">
                  <For each={problem().press ?? []}>
                    {(press) => (
                      <button type="button" onClick={() => void cure(press.id, problem())}>
                        {press.says}
                      </button>
                    )}
                  </For>
                  <Show when={problem().pointer !== ""}>
                    <button
                      type="button"
                      class="quiet"
                      onClick={() => {
                        setLit("");
                        goTo(problem().pointer, problem().at);
                        focusHandle(problem().pointer);
                      }}
                    >
                      Show where
                    </button>
                  </Show>
                </p>
              </div>
            </li>
          )}
        </Index>
      </ol>
    </Show>
  );
}

function focusHandle(pointer: string): void {
  if (!picture()) return;
  queueMicrotask(() => {
    const handle = document.querySelector<SVGElement>(`[data-handle="${CSS.escape(pointer)}"]`);
    if (handle) handle.focus();
    else document.querySelector("#drawing")?.scrollIntoView({ block: "nearest" });
  });
}
