// The reading column: what is known about the job and about what is chosen.
import { Index, Show, createMemo, createSignal, type JSX } from "solid-js";
import { change, picture, settled } from "../bench";
import { chosen } from "../choice";
import { askForWood, problems } from "../problems";
import type { Card } from "../protocol";
import { BringIn } from "./BringIn";
import { Closing } from "./Closing";
import { Feeding } from "./Feeding";
import { WoodPart } from "./WoodPart";
import { WorkPart } from "./WorkPart";
import { Readings } from "./Readings";
import { Chains } from "./Chains";
import { History } from "./History";
import { Papers } from "./Papers";
import { Problems } from "./Problems";
import { Sentences } from "./Sentences";
import { Shelf } from "./Shelf";

const folds_key = "seamwright.folds";

/** A section that can be folded; how it was left is remembered. */
export function Fold(props: { id: string; title: string; aside?: string; open?: boolean; children: JSX.Element }) {
  const remembered = (): Record<string, boolean> => {
    try {
      return JSON.parse(localStorage.getItem(folds_key) ?? "{}") as Record<string, boolean>;
    } catch {
      return {};
    }
  };
  const [open, setOpen] = createSignal(remembered()[props.id] ?? props.open ?? false);
  // What is folded away is not built; it would only cost time at every change.
  return (
    <details
      class="fold"
      id={props.id}
      open={open()}
      onToggle={(e) => {
        const now = e.currentTarget.open;
        if (now === open()) return;
        setOpen(now);
        localStorage.setItem(folds_key, JSON.stringify({ ...remembered(), [props.id]: now }));
      }}
    >
      <summary>
        <h2>{props.title}</h2>
        <Show when={props.aside}>
          <span class="aside">{props.aside}</span>
        </Show>
      </summary>
      <Show when={open()}>
        <div class="body">{props.children}</div>
      </Show>
    </details>
  );
}

export function Column() {
  const chosenPointer = createMemo(() => {
    const now = chosen();
    if (now.what === "top") return "/top";
    if (now.what === "seam") return settled()?.seams[now.index]?.pointer ?? "";
    return settled()?.drawing.pieces[now.index]?.pointer ?? "";
  });
  const chosenCard = createMemo<Card | undefined>(() => {
    const now = chosen();
    const cards = settled()?.cards ?? [];
    const found = cards.find((card) => card.pointer === chosenPointer() && card.pointer !== "");
    if (found || now.what !== "piece") return found;
    // A piece that the job has no entry for: its card is the one that bears its name.
    const name = settled()?.drawing.pieces[now.index]?.name;
    return cards.find((card) => card.title === name);
  });
  const others = createMemo(() => {
    const shown = chosenCard();
    const list = settled()?.cards.filter((card) => card !== shown && card.pointer !== "/paper") ?? [];
    return list.filter((card) => card.pointer === "/top" || !/^\/(seams|pieces)(\/|$)/.test(card.pointer));
  });
  const verdict = () => picture()?.verdict ?? "";
  const errors = () => problems().filter((p) => p.weight === "error").length;
  const count = () => {
    const all = problems().length;
    if (all === 0) return "";
    return errors() > 0 ? `${errors()} in the way${all > errors() ? `, ${all - errors()} worth a look` : ""}` : `${all} worth a look`;
  };

  return (
    <aside class="column" aria-label="What is known">
      <section class="known" id="known">
        <p class="verdict" classList={{ bad: errors() > 0 }}>
          {verdict()}
        </p>
        <Show when={count()}>
          <h2>{count()}</h2>
        </Show>
        <Problems />
      </section>
      <section class="chosen" aria-label="What is chosen">
        <Show when={chosenCard()} fallback={<Unentered />}>
          {(card) => (
            <>
              <h2>{card().title}</h2>
              <Sentences card={card()} />
              <ChosenActs />
            </>
          )}
        </Show>
      </section>
      <Fold id="chain" title="How the templates are made" open>
        <Chains />
      </Fold>
      <Fold id="closing" title="Will it close?">
        <Closing />
      </Fold>
      <Fold id="feed" title="Feeding the router">
        <Feeding />
      </Fold>
      <Fold id="wood" title="Boards and the year to come">
        <WoodPart />
      </Fold>
      <Fold id="work" title="From the boards to the delivery">
        <WorkPart />
      </Fold>
      <Fold id="whole" title="The whole job">
        <Index each={others()}>
          {(card) => (
            <section class="card" data-card={card().pointer}>
              <h3>{card().title}</h3>
              <Sentences card={card()} />
            </section>
          )}
        </Index>
      </Fold>
      <Fold id="shelf" title="Tools on the shelf">
        <Shelf />
      </Fold>
      <Fold id="papers" title="Papers" aside={settled()?.papers.size ?? ""}>
        <Papers />
      </Fold>
      <Fold id="bring-in" title="Bring in a curve">
        <BringIn />
      </Fold>
      <Fold id="history" title="What was done">
        <History />
      </Fold>
    </aside>
  );
}

/** A piece that the job has no entry for can be given one. */
function Unentered() {
  const piece = () => {
    const now = chosen();
    return now.what === "piece" ? settled()?.drawing.pieces[now.index] : undefined;
  };
  return (
    <Show when={piece()} fallback={<p class="none">Choose a piece, a seam or the edge of the top on the drawing to read and change what is known about it.</p>}>
      {(p) => (
        <>
          <h2>{p().name}</h2>
          <p>{p().tells}</p>
          <p class="presses">
            <button type="button" onClick={() => void change([{ piece: p().label, name: p().name }]).then(askForWood)}>
              Give it a name and a wood
            </button>
          </p>
        </>
      )}
    </Show>
  );
}

/** What can be done with the chosen thing besides filling in blanks. */
function ChosenActs() {
  const [measuring, setMeasuring] = createSignal(false);
  const seam = () => {
    const now = chosen();
    return now.what === "seam" ? settled()?.seams[now.index] : undefined;
  };
  return (
    <Show when={seam()}>
      {(s) => (
        <>
          <Show when={s().made}>
            {(made) => (
              <p class="made">
                <b>Its template was measured ({made().readings}).</b> {made().says}
              </p>
            )}
          </Show>
          <Show when={measuring()}>
            <Readings pointer={s().pointer} measured={s().made !== null} done={() => setMeasuring(false)} />
          </Show>
          <p class="presses">
            <Show when={s().kind === "open"}>
              <button type="button" class="quiet" aria-expanded={measuring()} onClick={() => setMeasuring(!measuring())}>
                {s().made ? "Measure its template again" : "Enter what a gauge read along its template"}
              </button>
            </Show>
            <button type="button" class="quiet" onClick={() => void change([{ remove: s().pointer }])}>
              Take this seam out
            </button>
          </p>
        </>
      )}
    </Show>
  );
}
