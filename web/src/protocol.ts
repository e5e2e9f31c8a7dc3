// What the page and the program say to each other. This file is the contract: src/screen writes what stands here,
// src/edit reads the edits, src/app serves the addresses. Places and lengths are mm, y away from the maker (up).
// The page computes none of it; whatever a person reads arrives as text in the maker's units.

export type Place = [x: number, y: number];

// ---------------------------------------------------------------- addresses
// GET    /api/jobs                     JobList
// POST   /api/jobs                     NewJob                    -> 201 { id } | 422 Refused
// GET    /api/jobs/ID                  Screen
// GET    /api/jobs/ID/version          { version }               cheap; asked every 2 s and on focus
// POST   /api/jobs/ID/try              Attempt                   -> Screen (live, not saved) | 422 Refused
// POST   /api/jobs/ID/edit             Change                    -> Screen | 409 Overtaken | 422 Refused
// POST   /api/jobs/ID/undo, /redo      { base }                  -> Screen | 409 Overtaken
// POST   /api/jobs/ID/duplicate        {}                        -> 201 { id }
// POST   /api/jobs/ID/delete, /restore {}                        -> JobList
// GET    /api/jobs/ID/history          HistoryLine[]             newest first
// POST   /api/jobs/ID/return           { base, change }          -> Screen      back to an earlier state, as a new change
// GET    /api/jobs/ID/papers/NAME      the file (PDF, SVG, JSON), as an attachment
// GET    /api/jobs/ID/export           the job document, as an attachment
// GET    /api/jobs/ID/shop             ShopView
// GET    /api/jobs/ID/wood             WoodView
// GET    /api/jobs/ID/work             WorkView; its files under papers/NAME, 422 where one cannot be made
// GET    /api/jobs/ID/made             MadeView
// POST   /api/jobs/ID/note             Change: edits of /made alone -> MadeView | 409 { says, remedy } | 422 Refused
// GET    /api/search?find=WORDS        FoundJobs                 the words as encodeURIComponent writes them
// POST   /api/trace?wish=TraceWish     pictures as bytes         -> TraceView | 422 { says, remedy, at? }
// POST   /api/board-photo?wish=BoardPhotoWish  a photo as bytes  -> BoardPhotoView | 422 { says, remedy, at? }
// GET    /api/pictures/NAME                                      -> the picture of a board, JPEG
//        The wish is JSON in the address; the body, application/octet-stream, holds each picture as its length in four
//        bytes, the highest first, and its bytes. Nothing of it is kept.
// Every other POST carries Content-Type: application/json. Faults: { says, remedy } with 4xx or 5xx.

export interface JobList {
  jobs: { id: number; name: string; changed: string; seams: number; unit: "mm" | "in" }[];
  deleted: { id: number; name: string; deleted: string }[];
  last: number; // opened last; 0: none
}
export type NewJob =
  | { blank: { unit: "mm" | "in" } } // a plain top to draw on, with the shop's shelf
  | { document: string } // an exported or hand-written job file
  | { example: "hall-console" | "bench-top" | "round-table" };

/** Jobs in which every word was found, changed last first. */
export interface FoundJobs {
  words: string[]; // as they were compared
  jobs: { id: number; name: string; changed: string; hits: { place: string; parts: { text: string; found: boolean }[] }[]; more: number }[];
  more: number; // other jobs
}

export interface HistoryLine {
  change: number;
  says: string; // "Pin 3 of front seam moved"
  at: string; // RFC 3339, UTC
  current: boolean;
}

// ---------------------------------------------------------------- edits

export interface Change {
  base: number; // version the page shows
  edits: Edit[];
}
export interface Attempt {
  base: number;
  edits: Edit[];
  looks_at?: number; // the seam whose strip is shown: the others come without theirs
}

export type Edit =
  // A value by its JSON pointer; null takes the entry away. Lengths as the maker types them: "2 3/8 in".
  | { set: string; value: unknown }
  // Into a list (pointer ends in an index or "-"), or out of it.
  | { insert: string; value: unknown }
  | { remove: string }
  // A handle dragged. mm_per_px tells which rule marks can be hit; free: no snapping.
  | { move: string; to: Place; mm_per_px: number; free?: boolean }
  // A handle nudged with the arrow keys, in rule steps.
  | { nudge: string; steps: [number, number]; size: "fine" | "rule" | "coarse" }
  // A pin on the curve at `pointer`, between the neighbours it lies between; other curves become pins first.
  | { add_pin: string; at: Place; mm_per_px: number }
  // A new seam through places on the drawing (1 or more; with one or none it is laid across the middle). Open ends are
  // carried on past the outline.
  | { draw_seam: { as: CurveKind | "edging"; through: Place[]; mm_per_px: number } }
  // The same course, drawn another way, as near as that way allows.
  | { redraw: string; as: CurveKind }
  // An open seam is cut along the fairest curve near it that the tools can follow, or as drawn again.
  | { ease: string; on: boolean }
  // SVG path data or a CSV of points as the curve of a seam (pointer to the seam) or of a new one ("").
  | { import: string; svg_path?: string; csv?: string; unit: string; name: string }
  // A trace of pictures, as the program gave it (TraceView.traced), as the curve of a seam or of a new one ("").
  | { trace: string; traced: unknown; name: string }
  // What a piece is made of; `at` any place in it. Makes its entry when the job has none.
  | { piece: Place; name?: string; species?: string; grain_degrees?: number }
  // A piece (by a place in it), or a strip of one, laid on a board: the middle of its box comes to lie at `at`. What stands
  // a little over the edge is moved back. The other pieces give way.
  | { lay: Place; strip: number; of: number; board: string; at: Place; turned: boolean; over: boolean }
  | { unlay: Place; strip: number }
  // Drawn on the board of that name: a spot's outline, or a line along the fibres.
  | { mark: string; what: SpotKind | "grain"; through: Place[] }
  // What a test cut tells, by its pointer: measured sizes, and where the cutter stands in the guide.
  | { learn: string }
  // What was noted of the work, put on the shelf for other jobs to learn from.
  | { keep_record: true }
  // The shop's shelf in place of the job's own.
  | { take_shop_shelf: true }
  // A remedy of a problem, by the id the screen gave.
  | { remedy: string };

export type SpotKind = "knot" | "check" | "sapwood" | "wane" | "other";
export type CurveKind = "straight" | "arc" | "sprung" | "wave" | "pins" | "oval" | "circle";

// ---------------------------------------------------------------- a curve from a photo or scans

export interface TraceWish {
  name: string; // of the picture's file
  unit: "mm" | "in"; // of bare lengths, and of what is told
  scan: boolean; // flatbed scans, strip after strip; else one photo with reference marks
  per_inch?: number; // pixels of a scan; else as its file notes it
  edge: boolean; // the edge of a template; else a drawn line
  from?: Place; // where the line begins and ends, and a place it passes: pixels from the left and the top
  to?: Place;
  through?: Place[];
  taped?: { from: number; to: number; apart: string }[]; // numbers of two marks, distance of their middles
  above?: string; // how far the line lies above the marks
}
/** Makes a board's picture of a photo of it; the program keeps it under a name made of its bytes. */
export interface BoardPhotoWish {
  unit: "mm" | "in"; // of bare lengths, and for what is told
  corners: [Place, Place, Place, Place]; // in pixels: near left, near right, far right, far left
  length?: string; // by the tape
  width?: string;
  above?: string; // how much higher the face lies than the marks; they lie on it when absent
}
export interface BoardPhotoView {
  picture: string; // for /shelf/boards/N/picture
  says: string[];
  minds: { says: string; remedy: string; at?: Place }[];
}

export interface TraceView {
  line: string; // "A line of 1609.4 mm."
  picture: string;
  marks: string; // "": none
  trust: string;
  uses: { good: boolean; says: string }[];
  minds: { says: string; remedy: string; at?: Place }[];
  pictures: {
    width: number; // pixels, upright
    height: number;
    line: Place[];
    closed: boolean;
    marks: { id: number; corners: Place[] }[];
    free_ends: Place[]; // ends of lines that were seen, for choosing among
    gaps: Place[]; // where the line was bridged
  }[];
  traced: unknown; // for the edit `trace`
}

export interface Refused {
  problems: Problem[];
}
export interface Overtaken {
  says: string; // "Changed in another window: pin 3 of front seam moved"
  screen: Screen; // as it stands now
}

// ---------------------------------------------------------------- the screen

export interface Screen {
  id: number;
  version: number;
  live: boolean; // an attempt: papers, cards and chains are left out (empty)
  engine_us: number; // reading, planning and writing this, measured by the program
  name: string;
  note: string;
  unit: "mm" | "in";
  undo: string; // what would be undone; "": nothing
  redo: string;
  shelf_differs: boolean; // the job's shelf is not the shop's any more
  verdict: string; // one sentence about the whole job
  drawing: Drawing;
  seams: SeamView[];
  problems: Problem[];
  cards: Card[]; // what can be typed, told in sentences: top, each seam, each piece, templates, limits, paper
  shelf: ShelfView;
  papers: Papers;
}

export interface Drawing {
  box: [number, number, number, number]; // x0 y0 x1 y1 of the top
  outline: string; // SVG path data in mm, y UP (the page turns it over), arcs as arcs
  outline_handles: Handle[];
  pieces: {
    name: string;
    named: boolean;
    pointer: string; // "/pieces/0"; "" when the job has no entry for it
    species: string;
    wood: Wood; // how it is drawn
    grain_degrees: number;
    d: string;
    label: Place;
    tells: string; // "Walnut, black · 1510 × 170 mm · 7.2 kg"
  }[];
}
/// Families of woods by look, so that colour and figure can differ; light to dark.
export type Wood = "pale" | "blond" | "tan" | "red" | "brown" | "dark" | "unknown";

export interface Handle {
  id: string; // "/seams/0/curve/pins/points/2", "/seams/0/curve/arc#rise"
  kind: "pin" | "end" | "rise" | "radius" | "height" | "length" | "shift" | "centre" | "width" | "turn" | "size";
  at: Place;
  from?: Place; // a thin line from there shows what the handle measures
  name: string; // "Pin 3 of 5", "Rise"
  value: string; // "x 320.0 mm, y 260.0 mm"; "45.0 mm"
  removable: boolean;
}

export interface SeamView {
  index: number;
  pointer: string; // "/seams/0"
  name: string;
  kind: "open" | "inlay" | "edging";
  as: string; // CurveKind, "svg_path", "points", "edging"
  d: string; // within the wood; "" when it cannot be drawn
  whole: string; // as cut, past the outline
  as_drawn: string; // where easing has moved it: what is drawn; else ""
  handles: Handle[];
  closes: boolean;
  planned: boolean; // false: errors stand in the way, no strip
  verdict: string;
  templates: {
    title: string;
    hand: "left" | "right";
    master: boolean;
    edge: string;
    body: string;
    rough_cut: string;
    registration: Place[];
    fastening: Place[];
  }[];
  left_edge: string; // as cut, by simulation
  right_edge: string;
  made: { says: string; readings: string } | null; // what a gauge along its template said
  chains: ChainView[];
  advice: { says: string; remedy: string }[]; // buying this makes an exact chain; remedy id puts it on the shelf
  strip: Strip | null; // null too: a live screen that looks at another seam
}

/// The unrolled seam: tracks over one axis, length along the seam.
export interface Strip {
  length: number;
  length_says: string;
  ticks: { at: number; says: string; large: boolean }[]; // rule marks
  stations: {
    at: number;
    place: Place; // on the drawing
    heading: number; // degrees, of the seam there
    tells: string[]; // one text per track, in the order of `tracks`
    says: string; // "312.0 mm from the start"
  }[];
  tracks: Track[];
  marks: { at: number; to: number; kind: "tight" | "gap" | "turn" | "problem"; says: string }[];
}
export interface Track {
  id: "radius" | "reach_left" | "reach_right" | "gap" | "closed_gap" | "made" | "pressure" | "feed_left" | "feed_right";
  title: string; // "How tight it turns"
  low: number; // of the axis
  high: number;
  marks: { at: number; says: string }[]; // values written at the axis
  limits: { at: number; says: string; kind: "limit" | "zero" }[];
  lines: { kind: "value" | "second"; says: string; points: Place[] }[]; // [length, value]
  worst?: { at: number; value: number; says: string };
  spans?: { from: number; to: number; row: string; says: string }[]; // stretches that want something, in rows at the foot
  // Of the router, in order: lengths of the seam, each from and to; on a closed seam a stroke may go over its start.
  strokes?: { kind: "conventional" | "skim" | "climb"; number: number; parts: Place[]; says: string }[];
  empty?: string; // why there is nothing to show
}

/** GET /api/jobs/ID/feed/SEAM: along both sides of a seam where the fibres lift, and how the router is fed. */
export interface FeedView {
  version: number;
  seam: number;
  verdict: string; // why there is nothing to feed along; else ""
  parts: ToldPart[];
  tracks: Track[]; // go on below the first of the strip
  tells: { stations: string[] }[]; // of each track, for every station of the strip
}

/** GET /api/jobs/ID/closing/SEAM: whether a seam closes with real tools and hands, and how it is pushed together and glued. */
export interface ToldPart {
  title: string;
  lines: string[];
  cautions: string[];
}
export interface ClosingView {
  version: number;
  seam: number;
  verdict: string;
  parts: ToldPart[];
  tracks: Track[]; // go on below those of the strip
  tells: { stations: string[] }[]; // of each track, for every station of the strip
}

/** GET /api/jobs/ID/wood: which piece comes from which board, and how the top moves over the year. */
export interface WoodView {
  version: number;
  boards: BoardView[]; // those that are started
  others: BoardView[]; // those that are not
  finished: FinishedView;
  placing: ToldPart[]; // empty without boards
  rough: RoughView[]; // each piece with routed edges
  year: ToldPart[];
  seasons: SeasonView[]; // empty where it cannot be worked out
}
/// A piece as it is sawn and routed; path data in mm, y up.
export interface RoughView {
  name: string;
  wood: Wood;
  grain_degrees: number;
  box: [number, number, number, number];
  sawn: string;
  finished: string;
  saw: string; // along the seams, "" for none
  way: string; // of the cutters' middles
  templates: string;
  tools: string; // cutter and guide where they may start
  marks: string; // index marks on its face
  screws: Place[];
  told: ToldPart;
}
export interface SeasonView {
  says: string;
  box: [number, number, number, number];
  made: string; // path data in mm, y up
  moved: string;
}
/** The finished top, seen from above. Path data in mm, y up. */
export interface FinishedView {
  box: [number, number, number, number];
  outline: string;
  seams: string;
  patches: PatchView[];
  says: string[];
}
/** A part of the top that comes out of one board. Within `clip`, and within `within` where that is not empty. */
export interface PatchView {
  name: string;
  clip: string; // the even-odd rule
  within: string;
  joints: string; // to the next strip of a glued-up piece
  ground: string; // "#rrggbb"
  line: string; // "#rrggbb", of the figure
  lies: string; // SVG transform from the board, y up from its near edge, to the top
  length: number; // mm, of the board, which its picture covers
  width: number;
  picture: string; // GET /api/pictures/NAME; empty: the figure
  figure: { width: number; d: string }[]; // on the board
}
/** GET /api/jobs/ID/work: the work from the boards to the delivery. */
export interface WorkView {
  version: number;
  lacks: string; // why nothing can be told yet; the rest is empty then
  heads: string[]; // when it can be delivered, and what it costs
  open: string[]; // what is not said yet
  feed: FeedMapView[];
  feeding: ToldPart[];
  edge: ToldPart[]; // with scraping and sanding
  finish: ToldPart[];
  calendar: CalendarView | null;
  ends: ToldPart[]; // when it is done, and what decides that
  days: ToldPart[]; // day by day
  cost: CostView | null;
  files: { name: string; says: string; lacks: string }[]; // lacks: why it cannot be made; "": it can
}
/// A piece with routed edges, seen from above; path data in mm, y up.
export interface FeedMapView {
  piece: string;
  wood: Wood;
  grain_degrees: number;
  box: [number, number, number, number];
  outline: string;
  unit: number; // mm, by which marks and numbers are sized
  edges: {
    name: string; // of the seam
    zones: { zone: "clean" | "care" | "tears"; d: string; crosses: string }[];
    strokes: {
      number: number;
      way: "conventional" | "skim" | "climb";
      d: string;
      heads: string; // two for a climb cut
      label: Place; // the middle of its number
    }[];
  }[];
}
/// Days across, steps down; in pixels, y down.
export interface CalendarView {
  width: number;
  height: number;
  head: number; // height of the days' names
  months: { x: number; says: string }[];
  days: { x: number; width: number; weekday: string; number: string }[];
  closed: { x: number; width: number; day: boolean }[]; // nights, breaks, and whole days off
  steps: {
    name: string;
    y: number;
    height: number;
    chain: boolean; // of those that decide the delivery
    says: string;
    bars: { kind: "work" | "clamps" | "wait"; box: [x: number, y: number, width: number, height: number]; chain: boolean }[];
  }[];
  chain: string; // path data: through all that decides the delivery
  delivery: number; // x
}
export interface CostView {
  currency: string;
  kinds: {
    says: string; // "Wood"
    lines: { what: string; quantity: string; price: string; amount: string }[]; // "": open
    sum: string;
  }[];
  sum: string;
  rounding: string;
}
export interface BoardView {
  name: string;
  pointer: string; // "/shelf/boards/2"
  size: string;
  wood: Wood;
  picture: string; // GET /api/pictures/NAME; empty: none that can be shown
  lacks: string; // why not, where the board names one
  length: number; // mm, from the left end
  width: number; // mm, up from the near edge
  grain_degrees: number;
  outline: string; // path data in mm, y up
  spots: { outline: string; says: string }[];
  fibres: string; // path data of the lines drawn along the grain; "": none
  parts: PartOnBoard[];
}

export interface PartOnBoard {
  name: string;
  finished: string; // path data
  sawn: string;
  at: Place; // the middle of its box on the board
  room: number; // mm along the board for its name
  piece: Place; // a place of the top in its piece
  strip: number; // 0: the whole piece
  of: number; // strips of the piece
  by_hand: boolean; // laid by the maker
  turned: boolean;
  over: boolean;
}

export interface ChainView {
  id: string;
  chosen: boolean;
  pinned: boolean; // the job holds the plan to it
  title: string; // "30 mm guide and 10 mm cutter for everything"
  exact: boolean;
  mismatch: string;
  reasons: string[];
  steps: StepView[]; // whole for the chosen one; pictures for all
}
export interface StepView {
  title: string;
  lines: string[];
  cautions: string[];
  passes: string[];
  picture: Section;
}
/// A cross-section of a step, in mm, y up: x across the seam.
export interface Section {
  box: [number, number, number, number];
  shapes: {
    what: "wood" | "waste" | "template" | "made" | "guide" | "bearing" | "cutter" | "shank" | "router" | "bench" | "paper";
    d: string;
    says: string;
  }[];
  dimensions: { from: Place; to: Place; says: string }[];
  seam_at: number; // x of the seam
}

export interface Problem {
  weight: "error" | "warning";
  pointer: string; // field, handle or seam it stands at
  found: string;
  allowed: string;
  remedy: string;
  at?: Place;
  along?: { seam: number; from: number; to: number };
  press?: { id: string; says: string }[]; // remedies that can be applied
}

/// A sentence with blanks to fill in: texts and fields in turn, and presses at its end.
export interface Card {
  pointer: string; // "/seams/0"
  title: string;
  sentences: (string | Field | Press)[][];
}
export interface Press {
  says: string; // "Add a finish"
  edits: Edit[];
}
export interface Field {
  pointer: string;
  kind: "length" | "number" | "text" | "long" | "day" | "choice" | "angle" | "yes";
  value: string; // as shown; for "yes": "true" / "false"; a day: "2027-01-11"
  label: string; // read by screen readers, shown in problems: "rise of front seam"
  choices?: { value: string; says: string; edit?: Edit }[]; // with an edit: that one is sent as it stands
  edit?: Edit; // for a choice: sent with its value in place of "$"; else { set: pointer, value }
}

export interface ShelfView {
  guides: ToolRow[];
  bearings: ToolRow[];
  cutters: ToolRow[];
  clamps: ToolRow[];
  boards: ToolRow[];
  spots: SpotRow[]; // knots and the like, on all boards
  test_cuts: TestCutRow[];
  discs: DiscRow[];
}
/// A disc routed all round to see where its wood tears.
export interface DiscRow {
  pointer: string; // "/shelf/discs/0"
  title: string; // "disc 1 of Ash, white"
  fields: Field[]; // wood, day, cutter, taken off, on a table
  rim: SpotRow[]; // its stretches: from, to, feed, seen
  told: ToldPart;
}
export interface SpotRow {
  pointer: string; // "/shelf/boards/0/defects/1"
  title: string; // "spot 2 on walnut 1"
  fields: Field[];
}
export interface TestCutRow {
  pointer: string; // "/shelf/test_cuts/0"
  title: string; // "30 mm guide and 10 mm cutter"
  on: Field;
  fields: Field[]; // what was read at each place, in the order of the sheet
  places: string[]; // what is measured there
  told: ToldPart; // what it tells so far
  can_be_kept: boolean; // { learn } takes it over
  kept: boolean; // the shelf has these sizes
  sheet: string; // its paper
}
export interface ToolRow {
  pointer: string; // "/shelf/guides/0"
  picture?: string; // of a board: the file that shows it; empty: none
  name: Field;
  fields: Field[];
  used: boolean; // in a chosen chain
}

export interface Papers {
  size: string;
  files: { name: string; says: string; bytes: number }[]; // bytes 0: made when it is fetched
  tiles: { seam: number; template: string; sheets: { name: string; d: string; label: Place }[] }[]; // over the drawing
}

export interface ShopView {
  name: string;
  version: number;
  parts: {
    title: string;
    cautions: string[];
    steps: { id: string; title: string; lines: string[]; cautions: string[] }[]; // id stays the same while the step does
  }[];
}

/** GET /api/jobs/ID/made: every step of the work, what was noted at it, what that tells, and what the shop has learnt. */
export interface MadeView {
  version: number;
  name: string;
  undo: string; // what would be undone; "": nothing, or not from here
  lacks: string; // why there are no steps; else ""
  progress: string; // "7 of 23 steps done, 14.5 h noted, 19 h to go"
  done: number;
  steps: MadeStep[];
  strangers: MadeNote[]; // about steps that the plan does not have
  learnt: ToldPart[]; // from the work of other jobs; empty: nothing yet
  sizes: { says: string; edits: Edit[] }[]; // found again and again, for the shelf to take over
  keep: string; // what { keep_record } would do; "": nothing to keep
  kept_says: string; // that all is kept, or ""
  kept: { pointer: string; says: string }[]; // records of this job on its shelf
}
export interface MadeStep {
  id: string; // what a note names as its step
  name: string;
  tells: string; // "about 1.5 h, then 24 h of waiting"
  done: boolean;
  next: boolean; // the first that is not done
  measure: string[]; // what to write down
  wants: { key: "hours" | "gap" | "offset" | "litres"; says: string; unit: string }[]; // unit of a bare number; "": says it
  notes: MadeNote[];
}
export interface MadeNote {
  pointer: string; // "/made/3"
  step: string;
  on: Field;
  fields: { says: string; field: Field }[];
  words: Field;
  tells: string[];
  cautions: string[];
}
