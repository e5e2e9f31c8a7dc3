// The unrolled seam: laid out straight like a tape, with what is known about it drawn in tracks above its length.
import { Index, Show, createEffect, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import { picture } from "../bench";
import { pushedTogether, watchClosing } from "../closing";
import { fed, watchFeed } from "../feed";
import { choose, goTo, liveSeam, plumb, seamIndex, setPlumb } from "../choice";
import { problems } from "../problems";
import type { Strip as StripData, Track } from "../protocol";
import { StripTable } from "./StripTable";

const usual_label_px = 252; // beside a track: its title and what is read there
const axis_px = 128; // on its other side: the values along its height
const narrow_head_px = 42; // on a narrow page the title and the reading stand above the track
const gap_px = 9; // between two tracks
const words_px = 26; // a track that has nothing to draw takes one line of words
const tape_px = 25;
const rule_px = 42; // the rule under the tracks, with its plumb bob
const least_track_px = 46;
const most_track_px = 150;
const axis_apart_px = 15; // values at the axis that would stand closer are left out

/** A track that has nothing to draw takes only the lines of its words. */
const isEmpty = (track: Track): boolean => track.lines.every((line) => line.points.length === 0);

export function Strip() {
  const [table, setTable] = createSignal(false);
  /** Of the chosen seam: how it is cut, what is left once it is pushed together, or how the router is fed. */
  const [view, setView] = createSignal<"cut" | "pushed" | "fed">("cut");
  createEffect(() => {
    const watch = view() === "pushed" ? watchClosing : view() === "fed" ? watchFeed : undefined;
    watch?.(1);
    onCleanup(() => watch?.(-1));
  });
  const seam = liveSeam;
  const shown = createMemo(() => {
    const strip = seam()?.strip;
    if (!strip || view() === "cut") return strip;
    return view() === "pushed" ? pushedTogether(strip) : fed(strip);
  });
  return (
    <section class="strip" id="seam" aria-labelledby="strip-title">
      <header>
        <h2 id="strip-title">
          <Show when={seam()} fallback="No seam yet">
            {(s) => (
              <>
                <Show when={(picture()?.seams.length ?? 0) > 1} fallback={<span>{s().name}</span>}>
                  <label class="seam-choice">
                    <span class="unseen">Seam to unroll</span>
                    <select value={String(seamIndex())} onChange={(e) => choose({ what: "seam", index: Number(e.currentTarget.value) })}>
                      <Index each={picture()!.seams}>{(each, i) => <option value={String(i)}>{each().name}</option>}</Index>
                    </select>
                  </label>
                </Show>
                <span class="aside">
                  unrolled<Show when={s().strip}>{(strip) => <>, {strip().length_says}</>}</Show>
                </span>
              </>
            )}
          </Show>
        </h2>
        <Show when={seam()?.strip}>
          <button type="button" class="quiet" aria-pressed={view() === "pushed"} onClick={() => setView(view() === "pushed" ? "cut" : "pushed")}>
            {view() === "pushed" ? "Show it as cut" : "Show it pushed together"}
          </button>
          <button type="button" class="quiet" aria-pressed={view() === "fed"} onClick={() => setView(view() === "fed" ? "cut" : "fed")}>
            {view() === "fed" ? "Show it as cut" : "Show its feed"}
          </button>
          <button type="button" class="quiet" aria-pressed={table()} onClick={() => setTable(!table())}>
            {table() ? "Show as a strip" : "Show as a table"}
          </button>
        </Show>
      </header>
      <Show
        when={shown()}
        fallback={
          <p class="empty">
            {seam() ? seam()!.verdict : "Draw a seam on the top and it is unrolled here: how tight it turns, what the templates reach, and how well it closes, all along its length."}
          </p>
        }
      >
        {(strip) => (
          <Show when={!table()} fallback={<StripTable strip={strip()} />}>
            <Tracks strip={strip()} closes={seam()!.closes} name={seam()!.name} />
          </Show>
        )}
      </Show>
    </section>
  );
}

function Tracks(props: { strip: StripData; closes: boolean; name: string }) {
  let frame!: HTMLDivElement;
  const [size, setSize] = createSignal<[number, number]>([600, 360]);
  onMount(() => {
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setSize([Math.floor(entry.contentRect.width), Math.floor(entry.contentRect.height)]);
    });
    observer.observe(frame);
    onCleanup(() => observer.disconnect());
  });

  // The page sets larger type on a large screen.
  const type = () => (size(), parseFloat(getComputedStyle(document.documentElement).fontSize) / 18);
  const label_px = createMemo(() => usual_label_px * type());
  const narrow = () => size()[0] < 700;
  const left = () => (narrow() ? 18 : label_px());
  const right = () => (narrow() ? 14 : axis_px * type());
  const head = () => (narrow() ? narrow_head_px : 0);
  const width = () => Math.max(size()[0] - left() - right(), 50);
  const drawn = createMemo(() => props.strip.tracks.filter((track) => !isEmpty(track)).length);
  const words = createMemo(() => props.strip.tracks.length - drawn());
  const track_px = createMemo(() => {
    const free = size()[1] - rule_px - 8 - words() * words_px;
    return Math.min(Math.max(free / Math.max(drawn(), 1) - head() - gap_px, least_track_px), most_track_px);
  });
  const room = (track: Track): number => (isEmpty(track) ? words_px : head() + track_px() + gap_px);
  const tops = createMemo(() => {
    let y = 2;
    return props.strip.tracks.map((track) => {
      const top = y;
      y += room(track);
      return top;
    });
  });
  const rule_y = createMemo(() => {
    const last = props.strip.tracks.length - 1;
    return last < 0 ? 0 : tops()[last]! + room(props.strip.tracks[last]!);
  });
  const x = (along: number): number => left() + (along / props.strip.length) * width();
  const station = () => props.strip.stations[plumb()];

  function nearest(along: number): number {
    const stations = props.strip.stations;
    let low = 0;
    let high = stations.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (stations[middle]!.at <= along) low = middle;
      else high = middle;
    }
    if (high < 0) return -1;
    return along - (stations[low]?.at ?? 0) < (stations[high]?.at ?? 0) - along ? low : high;
  }
  function point(e: PointerEvent): void {
    const at = e.clientX - frame.getBoundingClientRect().left;
    setPlumb(nearest(((at - left()) / width()) * props.strip.length));
  }
  function key(e: KeyboardEvent): void {
    const count = props.strip.stations.length;
    if (count === 0 || e.ctrlKey || e.metaKey) return;
    const here = plumb();
    const by = e.shiftKey ? 10 : 1;
    const to: Record<string, number> = {
      ArrowLeft: here < 0 ? count - 1 : here - by,
      ArrowRight: here < 0 ? 0 : here + by,
      Home: 0,
      End: count - 1,
      Escape: -1,
    };
    const next = to[e.key];
    if (next === undefined) return;
    e.preventDefault();
    setPlumb(e.key === "Escape" ? -1 : Math.min(Math.max(next, 0), count - 1));
  }
  const reading = () => {
    const at = station();
    if (!at) return "";
    return [at.says, ...props.strip.tracks.map((track, i) => (at.tells[i] ? `${track.title}: ${at.tells[i]}` : ""))].filter(Boolean).join(". ");
  };
  const along = createMemo(() => problems().filter((p) => p.along?.seam === seamIndex()));

  return (
    <div
      ref={frame}
      class="tracks"
      tabindex="0"
      role="slider"
      aria-label={`${props.name}, unrolled: place along the seam`}
      aria-valuemin={0}
      aria-valuemax={Math.max(props.strip.stations.length - 1, 0)}
      aria-valuenow={Math.max(plumb(), 0)}
      aria-valuetext={reading() || "Press the right arrow key to read along the seam"}
      onPointerDown={(e) => point(e)}
      onPointerMove={(e) => point(e)}
      onKeyDown={key}
    >
      <svg width={size()[0]} height={rule_y() + rule_px + (narrow() ? 22 : 0)} aria-hidden="true">
        <defs>
          <pattern id="cannot" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path class="hatch" d="M0 0V7" />
          </pattern>
        </defs>
        <Index each={props.strip.tracks}>
          {(track, i) => (
            <Show when={!isEmpty(track())}>
              <TrackDrawing track={track()} top={(tops()[i] ?? 0) + head()} height={track_px()} left={left()} width={width()} narrow={narrow()} length={props.strip.length} />
            </Show>
          )}
        </Index>
        <Rule strip={props.strip} y={rule_y()} x={x} left={left()} width={width()} />
        <g class="marks">
          <Index each={props.strip.marks.filter((mark) => mark.kind !== "problem")}>
            {(mark) => (
              <path class={mark().kind} d={`M${x(mark().at) - 3} ${rule_y() - 4}H${Math.max(x(mark().to), x(mark().at)) + 3}`}>
                <title>{mark().says}</title>
              </path>
            )}
          </Index>
          <Index each={along()}>
            {(problem) => {
              const stretch = () => problem().along!;
              const middle = () => x((stretch().from + stretch().to) / 2);
              return (
                <g class={`note ${problem().weight}`} onClick={() => goTo(problem().pointer)}>
                  <path class="stretch" d={`M${x(stretch().from)} ${rule_y()}H${Math.max(x(stretch().to), x(stretch().from) + 2)}`} />
                  <g transform={`translate(${middle()} ${rule_y()})`}>
                    <path class="flag" d={problem().weight === "error" ? "M-10 -24H10V-4H-10z" : "M0 -28L13 -4H-13z"} />
                    <text y={problem().weight === "error" ? -9 : -8} text-anchor="middle">
                      {problem().number}
                    </text>
                  </g>
                </g>
              );
            }}
          </Index>
        </g>
        <Show when={station()}>
          {(at) => (
            <g class="plumb" transform={`translate(${x(at().at)} 0)`}>
              <path class="line" d={`M0 ${2 + head()}V${rule_y() + tape_px}`} />
              <path class="bob" d={`M0 ${rule_y() + tape_px + 15}l-6 -9l2 -5h8l2 5z`} />
            </g>
          )}
        </Show>
      </svg>
      <Index each={props.strip.tracks}>
        {(track, i) => (
          <div
            class={`label ${track().id}`}
            classList={{ words: isEmpty(track()) }}
            aria-hidden="true"
            style={{ top: `${tops()[i] ?? 0}px`, width: narrow() || isEmpty(track()) ? `${size()[0] - 40}px` : `${label_px() - 38}px`, height: `${room(track())}px` }}
          >
            <span class="title">{track().title}</span>
            <span class="reading" classList={{ at: Boolean(station()?.tells[i]) }}>
              {isEmpty(track()) ? (track().empty ?? "") : station()?.tells[i] || track().worst?.says || ""}
            </span>
          </div>
        )}
      </Index>
      <p class="where" aria-hidden="true" classList={{ idle: !station(), narrow: narrow() }} style={{ top: `${rule_y() + (narrow() ? 38 : 4)}px`, width: narrow() ? "100%" : `${label_px() - 38}px` }}>
        {station()?.says ?? (narrow() ? "" : "Point at the strip to read it.")}
      </p>
    </div>
  );
}

/** To a tenth of a pixel; much quicker than toFixed, and a drag does this a thousand times a frame. */
const tenth = (px: number): number => Math.round(px * 10) / 10;

function TrackDrawing(props: { track: Track; top: number; height: number; left: number; width: number; narrow: boolean; length: number }) {
  const y = (value: number): number => {
    const { low, high } = props.track;
    const part = high > low ? (Math.min(Math.max(value, low), high) - low) / (high - low) : 0;
    return props.top + (1 - part) * props.height;
  };
  const x = (along: number): number => props.left + (along / props.length) * props.width;
  /** What the values are measured from: nought in tracks that go both ways, the bottom in the others. */
  const middle = () => zero() ?? (props.track.low < 0 && props.track.high > 0 ? 0 : props.track.low);
  const zero = () => props.track.limits.find((limit) => limit.kind === "zero")?.at;
  const course = (points: readonly (readonly [number, number])[]): string => {
    let d = "";
    for (let i = 0; i < points.length; i++) d += `${i ? "L" : "M"}${tenth(x(points[i]![0]))} ${tenth(y(points[i]![1]))}`;
    return d;
  };
  const area = (points: readonly (readonly [number, number])[]): string => {
    if (points.length === 0) return "";
    const base = y(middle()).toFixed(1);
    return `${course(points)}L${x(points[points.length - 1]![0]).toFixed(1)} ${base}L${x(points[0]![0]).toFixed(1)} ${base}z`;
  };
  /** The side of a limit that is out of bounds: away from zero; below it where there is no room left. */
  const beyond = (limit: { at: number; kind: "limit" | "zero" }): [number, number] => {
    const { low, high } = props.track;
    if (limit.kind === "zero") return [y(limit.at), y(low)];
    return limit.at >= middle() ? [y(high), y(limit.at)] : [y(limit.at), y(low)];
  };
  /** Marks under the values: each kind has a row of its own. */
  const spanRows = createMemo(() => [...new Set((props.track.spans ?? []).map((span) => span.row))]);
  const levelOf = (row: number): number => props.top + props.height - 24 - 15 * row;
  const isReach = () => props.track.id.startsWith("reach");
  const zones = () => props.track.limits.filter((limit) => limit.kind === "limit" || isReach());
  const axis = createMemo(() => {
    const kept: { y: number; says: string }[] = [];
    const levels = spanRows().map((_row, i) => levelOf(i));
    if (props.narrow && props.track.strokes) levels.push(props.top + strokes_px);
    for (const mark of props.track.marks) {
      const at = y(mark.at);
      // The names of the rows at the foot stand where values would, and on a narrow page the strokes.
      if (levels.some((level) => Math.abs(level - at) < axis_apart_px)) continue;
      if (kept.every((other) => Math.abs(other.y - at) >= axis_apart_px)) kept.push({ y: at, says: mark.says });
    }
    return kept;
  });
  return (
    <g class={`track ${props.track.id}`}>
        <rect class="ground" x={props.left} y={props.top} width={props.width} height={props.height} />
        <Index each={zones()}>
          {(limit) => {
            const zone = () => beyond(limit());
            return (
              <>
                <rect class="beyond" x={props.left} y={zone()[0]} width={props.width} height={Math.max(zone()[1] - zone()[0], 0)} fill="url(#cannot)" />
                <path class="limit" d={`M${props.left} ${y(limit().at)}h${props.width}`}>
                  <title>{limit().says}</title>
                </path>
              </>
            );
          }}
        </Index>
        <Show when={props.track.id === "radius" && zero() === undefined}>
          <path class="zero" d={`M${props.left} ${y(0)}h${props.width}`} />
        </Show>
        <Index each={isReach() ? [] : props.track.limits.filter((limit) => limit.kind === "zero")}>
          {(limit) => <path class="zero" d={`M${props.left} ${y(limit().at)}h${props.width}`} />}
        </Index>
        <Index each={props.track.lines}>
          {(line) => (
            <>
              <Show when={line().kind === "value"}>
                <path class="area" d={area(line().points)} />
              </Show>
              <path class={`course ${line().kind}`} d={course(line().points)}>
                <title>{line().says}</title>
              </path>
            </>
          )}
        </Index>
        <Index each={spanRows()}>
          {(row, i) => {
            const level = () => levelOf(i);
            return (
              <g class="spans">
                <Index each={(props.track.spans ?? []).filter((span) => span.row === row())}>
                  {(span) => (
                    <path d={`M${x(span().from)} ${level() - 4}v8m0 -4H${Math.max(x(span().to), x(span().from) + 3)}m0 -4v8`}>
                      <title>{span().says}</title>
                    </path>
                  )}
                </Index>
                <text class="axis" classList={{ inside: props.narrow }} x={props.left + props.width + (props.narrow ? -6 : 8)} text-anchor={props.narrow ? "end" : "start"} y={level() + 4}>
                  {row()}
                </text>
              </g>
            );
          }}
        </Index>
        <Index each={props.track.strokes ?? []}>
          {(stroke) => <Stroke stroke={stroke()} x={x} y={props.top + strokes_px} />}
        </Index>
        <Show when={props.track.worst}>
          {(worst) => <circle class="worst" cx={x(worst().at)} cy={y(worst().value)} r="4.5" />}
        </Show>
      <Index each={axis()}>
        {(mark) => (
          <text class="axis" classList={{ inside: props.narrow }} x={props.left + props.width + (props.narrow ? -6 : 8)} text-anchor={props.narrow ? "end" : "start"} y={Math.min(Math.max(mark().y + 4.5, props.top + 10), props.top + props.height)}>
            {mark().says}
          </text>
        )}
      </Index>
    </g>
  );
}

const head_px = 8;
const number_px = 13; // what the number of a stroke takes of its length
/** Strokes lie end to end, so one row at the head of the track takes them all. */
const strokes_px = 12;

/** A stroke of the router: solid with one head, broken with one, or broken with two open heads where it climbs. */
function Stroke(props: { stroke: NonNullable<Track["strokes"]>[number]; x: (along: number) => number; y: number }) {
  const parts = () => props.stroke.parts.map(([from, to]) => [props.x(from), props.x(to)] as const);
  const sign = () => (parts().some(([from, to]) => to < from) ? -1 : 1);
  // Over the start of a closed seam the first part can be too short for the number: then it stands on the longest.
  const numbered = () => {
    const long = (i: number) => Math.abs(parts()[i]![1] - parts()[i]![0]);
    let best = 0;
    parts().forEach((_part, i) => {
      if (long(0) < number_px + head_px && long(i) > long(best)) best = i;
    });
    return best;
  };
  const begins = () => parts()[numbered()]?.[0] ?? 0;
  const ends = () => parts()[parts().length - 1]?.[1] ?? 0;
  const shaft = () => parts().map(([from, to], i) => `M${tenth(i === numbered() ? from + sign() * number_px : from)} ${props.y}H${tenth(to)}`).join("");
  const head = () => {
    const s = sign() * head_px;
    const one = (at: number, close: string) => `M${tenth(at - s)} ${props.y - 4.5}L${tenth(at)} ${props.y}L${tenth(at - s)} ${props.y + 4.5}${close}`;
    return props.stroke.kind === "climb" ? one(ends(), "") + one(ends() - 0.8 * s, "") : one(ends(), "z");
  };
  return (
    <g class={`stroke ${props.stroke.kind}`}>
      <title>{props.stroke.says}</title>
      <path class="shaft" d={shaft()} />
      <path class="head" d={head()} />
      <text x={begins() + sign() * 6} y={props.y + 4.5} text-anchor="middle">
        {props.stroke.number}
      </text>
    </g>
  );
}

/** The tape under the tracks, with the marks of a rule. */
function Rule(props: { strip: StripData; y: number; x: (along: number) => number; left: number; width: number }) {
  const room_px = 78; // for one number
  const numbered = createMemo(() => {
    const large = props.strip.ticks.filter((tick) => tick.large && tick.says !== "");
    const every = Math.max(1, Math.ceil((large.length * room_px) / Math.max(props.width, 1)));
    // A number that would run out of the tape at its end is left out.
    return large.filter((tick, i) => i % every === 0 && props.x(tick.at) < props.left + props.width - room_px / 2);
  });
  const anchor = (at: number): "start" | "middle" => (props.x(at) < props.left + room_px / 2 ? "start" : "middle");
  // One path for all: a rule has hundreds of marks, and each frame of a drag would make them anew.
  const course = createMemo(() => props.strip.ticks.map((tick) => `M${props.x(tick.at).toFixed(1)} ${props.y}v${tick.large ? 9 : 5}`).join(""));
  return (
    <g class="rule">
      <rect class="tape" x={props.left} y={props.y} width={props.width} height={tape_px} />
      <path d={course()} />
      <Index each={numbered()}>
        {(tick) => (
          <text x={props.x(tick().at)} y={props.y + 21} text-anchor={anchor(tick().at)} dx={anchor(tick().at) === "start" ? 3 : 0}>
            {tick().says}
          </text>
        )}
      </Index>
    </g>
  );
}
