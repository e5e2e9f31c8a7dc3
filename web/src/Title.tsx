// The line at the head of the page: whose job it is, that it is saved, and the few things that are done with it.
import { Show } from "solid-js";
import { change, redo, saving, settled, undo } from "./bench";
import { switchTheme, theme } from "./theme";

export function Title() {
  let input!: HTMLInputElement;
  const name = (): string => settled()?.name ?? "";
  function rename(): void {
    const typed = input.value.trim();
    if (typed === "" || typed === name()) input.value = name();
    else void change([{ set: "/name", value: typed }]);
  }
  function papers(e: MouseEvent): void {
    e.preventDefault();
    const fold = document.querySelector<HTMLDetailsElement>("#papers");
    if (!fold) return;
    fold.open = true;
    // The list is built when the fold is open; only then can it be brought to the top.
    const toTop = (): void => {
      fold.scrollIntoView({ block: "start" });
      fold.querySelector("summary")?.focus({ preventScroll: true });
    };
    requestAnimationFrame(() => requestAnimationFrame(toTop));
  }
  return (
    <header class="masthead">
      <a class="home" href="#/jobs" title="All jobs">
        Jobs
      </a>
      <h1>
        <span class="grow" data-value={name() || "–"}>
          <input
            ref={input}
            size="1"
            aria-label="Name of the job"
            autocomplete="off"
            spellcheck={false}
            value={name()}
            onChange={rename}
            onKeyDown={(e) => {
              if (e.key === "Enter") input.blur();
              if (e.key === "Escape") {
                input.value = name();
                input.blur();
              }
            }}
          />
        </span>
      </h1>
      <span class="saved" classList={{ busy: saving() > 0 }}>
        {saving() > 0 ? "saving" : "saved"}
      </span>
      <span class="acts">
        {/* Redo stands left of Undo and Undo keeps its place, so that pressing on the same spot goes on taking back. */}
        <Show when={settled()?.redo}>
          {(what) => (
            <button type="button" class="quiet redo" onClick={() => void redo()} title={`Redo: ${what()}`} aria-keyshortcuts="Control+Y">
              <b>Redo</b>
              <span class="what">: {lower(what())}</span>
            </button>
          )}
        </Show>
        <Show when={settled()?.redo && !settled()?.undo}>
          <button type="button" class="quiet" disabled>
            Undo
          </button>
        </Show>
        <Show when={settled()?.undo}>
          {(what) => (
            <button type="button" class="quiet undo" onClick={() => void undo()} title={`Undo: ${what()}`} aria-keyshortcuts="Control+Z">
              <b>Undo</b>
              <span class="what">: {lower(what())}</span>
            </button>
          )}
        </Show>
        <a class="quiet" href="#papers" onClick={papers}>
          Print
        </a>
        <a class="quiet in-shop" href={`/shop?job=${settled()?.id ?? 0}`}>
          In the shop
        </a>
        <button type="button" class="quiet" onClick={switchTheme}>
          {theme() === "dark" ? "Light" : "Dark"}
        </button>
      </span>
    </header>
  );
}

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
