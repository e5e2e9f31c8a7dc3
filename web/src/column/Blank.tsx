// A blank to fill in: what stands there is changed where it is read.
import { Index, Match, Show, Switch, createEffect, createSignal, createUniqueId } from "solid-js";
import { changesFromHere, settled } from "../bench";
import { lit, setLit } from "../choice";
import { problemAt } from "../problems";
import type { Edit, Field } from "../protocol";
import { told } from "../words";

/** The edit a field is changed by: that of the choice made, else its own with the value in place of "$", else setting the value. */
function editOf(field: Field, value: string | boolean | null): Edit {
  const ofChoice = field.choices?.find((choice) => choice.value === value)?.edit;
  if (ofChoice) return ofChoice;
  if (!field.edit) return { set: field.pointer, value };
  const filled = JSON.stringify(field.edit, (_key, part: unknown) => (part === "$" ? value : part));
  return JSON.parse(filled) as Edit;
}

export function Blank(props: { field: Field; wide?: boolean }) {
  const id = createUniqueId();
  // What is being typed and not sent yet.
  const [draft, setDraft] = createSignal<string | null>(null);
  let input: HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement | undefined;

  const { refused, make: makeHere } = changesFromHere();
  const make = (value: string | boolean | null): Promise<boolean> => makeHere([editOf(props.field, value)]);
  const problem = () => refused() ?? problemAt(props.field.pointer);
  const shown = () => draft() ?? props.field.value;

  createEffect(() => {
    if (lit() === props.field.pointer && input) {
      input.scrollIntoView({ block: "center" });
      input.focus({ preventScroll: true });
      setLit("");
    }
  });

  function send(value: string): void {
    if (value === props.field.value) {
      setDraft(null);
      return;
    }
    const trimmed = value.trim();
    void make(props.field.kind === "text" || props.field.kind === "long" ? trimmed : trimmed === "" ? null : trimmed).then((taken) => {
      // A refused value stays where it was typed, so that it can be put right.
      if (taken) setDraft(null);
    });
  }
  function key(e: KeyboardEvent): void {
    if (e.key === "Enter") send((e.currentTarget as HTMLInputElement).value);
    else if (e.key === "Escape" && draft() !== null) {
      e.stopPropagation();
      setDraft(null);
      (e.currentTarget as HTMLInputElement).value = props.field.value;
    }
  }
  // A day that is typed is one only when all of it is there; one that is picked is there at once.
  let typing = false;
  const described = () => (problem() ? `${id}-problem` : undefined);

  return (
    <span class={`blank ${props.field.kind}`} classList={{ wide: props.wide ?? false, wrong: problem()?.weight === "error", doubtful: problem()?.weight === "warning" }}>
      <Switch
        fallback={
          <span class="grow" data-value={shown() || "–"}>
            <input
              ref={(node) => (input = node)}
              type="text"
              size="1"
              inputmode={props.field.kind === "number" || props.field.kind === "angle" ? "decimal" : "text"}
              autocomplete="off"
              spellcheck={false}
              aria-label={props.field.label}
              aria-invalid={problem()?.weight === "error" ? "true" : undefined}
              aria-describedby={described()}
              placeholder="–"
              value={shown()}
              onInput={(e) => setDraft(e.currentTarget.value)}
              onBlur={(e) => draft() !== null && send(e.currentTarget.value)}
              onFocus={(e) => e.currentTarget.select()}
              onKeyDown={key}
            />
          </span>
        }
      >
        <Match when={props.field.kind === "day"}>
          <input
            ref={(node) => (input = node)}
            type="date"
            min="1900-01-01"
            max="2999-12-31"
            aria-label={props.field.label}
            aria-invalid={problem()?.weight === "error" ? "true" : undefined}
            aria-describedby={described()}
            value={shown()}
            onInput={(e) => setDraft(e.currentTarget.value)}
            onFocus={() => (typing = false)}
            onChange={(e) => !typing && send(e.currentTarget.value)}
            onBlur={(e) => draft() !== null && send(e.currentTarget.value)}
            onKeyDown={(e) => {
              typing = true;
              key(e);
            }}
          />
        </Match>
        <Match when={props.field.kind === "long"}>
          <textarea
            ref={(node) => (input = node)}
            rows="3"
            aria-label={props.field.label}
            aria-invalid={problem()?.weight === "error" ? "true" : undefined}
            aria-describedby={described()}
            value={shown()}
            onInput={(e) => setDraft(e.currentTarget.value)}
            onBlur={(e) => draft() !== null && send(e.currentTarget.value)}
            onKeyDown={(e) => e.key !== "Enter" && key(e)}
          />
        </Match>
        <Match when={props.field.kind === "yes"}>
          <input
            ref={(node) => (input = node)}
            type="checkbox"
            aria-label={props.field.label}
            checked={props.field.value === "true"}
            onChange={(e) => void make(e.currentTarget.checked)}
          />
        </Match>
        <Match when={props.field.kind === "choice"}>
          <select
            ref={(node) => (input = node)}
            aria-label={props.field.label}
            aria-describedby={described()}
            onChange={(e) => {
              const node = e.currentTarget;
              void make(node.value).then((taken) => {
                if (!taken) node.value = props.field.value;
              });
            }}
          >
            <Index each={choices(props.field)}>
              {(choice) => (
                <option value={choice().value} selected={choice().value === props.field.value}>
                  {choice().says}
                </option>
              )}
            </Index>
          </select>
        </Match>
      </Switch>
      <Show when={problem()}>
        {(p) => (
          <span class="told" id={`${id}-problem`} role={refused() ? "alert" : undefined}>
            {told(p())}
          </span>
        )}
      </Show>
    </span>
  );
}

/** The choices, with the present value among them even when it is none of them. */
function choices(field: Field): { value: string; says: string }[] {
  const given = field.choices ?? [];
  return given.some((c) => c.value === field.value) ? given : [{ value: field.value, says: field.value || "–" }, ...given];
}
export const cardOf = (pointer: string) => settled()?.cards.find((card) => card.pointer === pointer);
