// What has to be told at once: another window's change, a change that was not taken, a program that does not answer.
import { Show } from "solid-js";
import { told as inWords } from "./words";
import { change, dismissFault, dismissOvertaken, dismissRefusal, fault, overtaken, refusal, toldAtField } from "./bench";

export function Notices() {
  const refused = () => (refusal() && !toldAtField.has(refusal()!.edits) ? refusal() : null);
  return (
    <div class="notices">
      <Show when={overtaken()}>
        {(told) => (
          <div class="notice" role="alert">
            <p>
              {told().says}
              <Show when={told().again}> Your own change was not made; the page now shows the job as it stands.</Show>
            </p>
            <p class="presses">
              <Show when={told().again}>
                {(again) => (
                  <button
                    type="button"
                    onClick={() => {
                      const go = again();
                      dismissOvertaken();
                      go();
                    }}
                  >
                    Do it again on top
                  </button>
                )}
              </Show>
              <button type="button" class="quiet" onClick={dismissOvertaken}>
                {told().again ? "Leave it" : "Good"}
              </button>
            </p>
          </div>
        )}
      </Show>
      <Show when={refused()}>
        {(told) => (
          <div class="notice refused" role="alert">
            <p>
              <b>That was not taken.</b> {told().problems[0] ? inWords(told().problems[0]!) : ""}
            </p>
            <p class="presses">
              <Show when={told().problems[0]?.press?.[0]}>
                {(press) => (
                  <button type="button" onClick={() => void change([{ remedy: press().id }])}>
                    {press().says}
                  </button>
                )}
              </Show>
              <button type="button" class="quiet" onClick={dismissRefusal}>
                Good
              </button>
            </p>
          </div>
        )}
      </Show>
      <Show when={fault()}>
        {(told) => (
          <div class="notice refused" role="alert">
            <p>
              <b>{told().says}</b> {told().remedy}
            </p>
            <p class="presses">
              <button type="button" class="quiet" onClick={dismissFault}>
                Good
              </button>
            </p>
          </div>
        )}
      </Show>
    </div>
  );
}
