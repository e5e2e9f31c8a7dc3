// Everything that was done to the job, newest first.
import { For, Show, createEffect, createResource, on } from "solid-js";
import { backTo, settled } from "../bench";
import { when } from "../dates";
import { server } from "../server";

export function History() {
  const [lines, { refetch }] = createResource(
    () => settled()?.id,
    (id) => server.history(id),
  );
  createEffect(on(() => settled()?.version, () => void refetch(), { defer: true }));
  return (
    <Show when={lines.latest} fallback={<p>Looking it up…</p>}>
      <ol class="history">
        <For each={lines.latest}>
          {(line) => (
            <li classList={{ current: line.current }}>
              <span class="says">{line.says}</span>
              <time dateTime={line.at}>{when(line.at)}</time>
              <Show when={!line.current} fallback={<span class="state">as it stands</span>}>
                <button type="button" class="quiet" onClick={() => void backTo(line.change)}>
                  Go back to this<span class="unseen">: {line.says}</span>
                </button>
              </Show>
            </li>
          )}
        </For>
      </ol>
    </Show>
  );
}
