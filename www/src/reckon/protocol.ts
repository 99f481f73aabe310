/**
 * What the page and its workers say to each other.
 *
 * All reckoning is done in Rust inside the workers; this file only names the data that crosses the
 * border. Places are in µm on the *print* (x to the right, y down from the print's top left);
 * the workers turn them over onto the copper.
 */

/** Something wrong with a plan, in words for its owner. `field` is a path such as `bites.2.bite_min`. */
export interface Problem { severity: 'error' | 'warning'; field: string; message: string }

/** One number of the plan, as the Rust crate `plan` lists it. */
export interface Field {
  key: string; label: string; unit: string;
  min: number; max: number; step: number; default: number;
  part: Part; why: string;
}

/** One choice made by name. */
export interface Choice {
  key: string; label: string; options: [string, string][]; part: Part; why: string;
}

/** Parts of the plan, in the order of the bench. */
export type Part = 'plate' | 'dust' | 'bake' | 'bath' | 'ink';

/** A part of a picture, in fractions of its sides from its top left. */
export interface Crop { left: number; top: number; width: number; height: number }

/** What a picture is like, enough to know it again: its width and height in pixels, then the lightness of sixteen cells. */
export type MadeFor = number[];

/** The plan's JSON form; the page treats it as data and never reckons with it. */
export interface Plan {
  platewright: number; title: string; notes: string; seed: number;
  plate: { width_mm: number; height_mm: number; thickness_mm: number; bevel_mm: number; corner_radius_mm: number };
  paper: { reflectance: number; margin_mm: number };
  picture: {
    source: 'harbour' | { file: string };
    crop: Crop;
    thresholds_l: number[];
    smallest_mm: number;
    /** What the user's own picture is like. */
    made_for?: MadeFor;
    /** While a link's small picture stands in: the part of the whole picture that it shows. */
    stand_in?: Crop;
  };
  /** Areas by hand; absent where there are none. */
  areas?: Area[];
  /** Lines already etched before the ground; absent where there are none. */
  lines?: LineWork;
  dust: Record<string, number | string>;
  bake: Record<string, number | boolean>;
  bath: Record<string, number | string>;
  bites: { bite_min: number }[];
  ink: Record<string, number | string | boolean>;
  /** Work on the copper after the first proof. */
  states?: State[];
  edition?: Edition;
  calibration?: Record<string, number>;
  calibration_name?: string;
}

/** Lines etched before the ground: the name of their picture, and how they lie and were bitten. */
export interface LineWork { picture: string; crop: Plan['picture']['crop']; open_below_l: number; bite_min: number }

/** What the line bite comes to. */
export interface LineFacts { depth_um: number; wider_um: number; lightness: number }

/** What of lines and tone is printed. */
export type Printed = 'both' | 'lines' | 'tone';

/** An area worked by hand, as the Rust crate `plan` describes it; places in whole twentieths of a mm on the print. */
export interface Area {
  name: string;
  work: 'hold' | 'picture' | 'split' | 'spit';
  value: number; to_value: number; feather_mm: number; spit_min: number;
  axis_mm?: number[];
  shapes: AreaShape[];
}

/** One stroke or outline of an area: x, y, x, y … */
export interface AreaShape { kind: 'brush' | 'outline' | 'curve'; away: boolean; brush_mm: number; points_mm: number[] }

/** One closed outline on the print, mm. */
export interface Ring { points_mm: [number, number][]; hole: boolean }

/** What suits the picture: thresholds for the values as they are, and other counts of values with their errors (L*). */
export interface Suits {
  now: { thresholds_l: number[]; error_l: number };
  suits: { bites_min: number[]; thresholds_l: number[]; error_l: number; closest_l: number }[];
  suggested: number;
  /** Specks merged away, and the share of the plate that has another value for it. */
  merged: number; moved_share: number;
}

/** One state after the first: the work done since the state it goes on from (1 is the first). */
export interface State { name: string; from_state: number; work: Work[] }

/** Places are in mm on the print, in whole tenths. */
export type Corner = [number, number];

export type Tool = 'scraper' | 'point' | 'burnisher' | 'polish';

export type Work = { tool: ToolWork } | { ground: LaterGround };

/** A stroke so wide, or an outlined passage with a soft edge so wide. */
export interface ToolWork { tool: Tool; passage: boolean; width_mm: number; take_um: number; points_mm: Corner[] }

export interface LaterGround {
  seed: number; dust: Plan['dust']; bake: Plan['bake']; bath: Plan['bath'];
  outline_mm: Corner[];
  bites: { bite_min: number; from_value: number; to_value: number }[];
}

export interface Edition {
  impressions: number; steel_faced: boolean; paper_reflectance: number;
  sheet_width_mm: number; sheet_height_mm: number; minutes_each: number;
}

/** What lies inside an outline, in the state looked at. */
export interface Passage { value: number; shares: number[]; amounts: number[]; lightness: number; pit_um: number; values_l: number[] }

/** One value of the scale; index 0 is the paper, kept white. */
export interface Value {
  index: number;
  /** Minutes of its own bite, and of all bites it was open in. */
  bite_min: number; cumulative_min: number;
  /** Depth of copper gone: flat copper between the domes, and the mean over the area, µm. */
  bitten_um: number; mean_depth_um: number;
  /** Share of the copper still standing at its old height, 0–1. */
  land: number;
  /** Ink in the pits after wiping, and on the paper, mean µm. */
  held_um: number; printed_um: number;
  reflectance: number; lightness: number; density: number;
  /** What a screen shows for it, 0–255. */
  srgb: number;
  /** Share of the plate's area. */
  area_share: number;
}

/** Bites of the plan, `first` to `last`, that run without a break. */
export interface TimedBite { first: number; last: number; bite_min: number }

/** The same with its words; `joined` says why several run as one. Under a later ground: what is varnished or freed of varnish before it, and what lies open. */
export interface WordedBite { bite: TimedBite; name: string; joined: string; cover: string; uncover: string; open: string }

/** The order of work in the bath (`plan::order`): stop-outs of the values that the plate has, and no others. */
export interface BathOrder {
  /** How many bites the plan has that it is of. */
  planned: number;
  /** Something stays white. */
  whites: boolean;
  spits: { name: string; spit_min: number; fade_mm: number; middle_mm: [number, number] }[];
  bites: WordedBite[];
  /** Why bites fall away, in a sentence; empty when none does. */
  dropped: string;
  /** The bites under each later ground. */
  later: { state: number; work: number; bites: WordedBite[]; dropped: string }[];
}

/** Everything the numbers and plots need, computed for one plan. */
export interface Summary {
  /** Warnings about this plan in words, with the field they concern. */
  warnings: Problem[];
  dust: {
    /** Landed weight by grain size, for the plot: class centres in µm and g/m² per unit of ln size. */
    size_um: number[]; weight_per_ln: number[];
    mass_g_per_m2: number; loose_cover: number; grains_per_mm2: number;
    cloud_start_g_per_m3: number; cloud_plate_in_g_per_m3: number; cloud_plate_out_g_per_m3: number;
    /** About the least rosin dust in air that can explode, g/m³, from memory: never a clearance. */
    explosible_g_per_m3: number;
  };
  bake: {
    course_min: number[]; course_c: number[]; plate_end_c: number; softening_c: number;
    /** How it comes out. */
    doneness: 'under' | 'good' | 'over';
    /** The same in a sentence. */
    sentence: string;
  };
  ground: { cover: number; domes_per_mm2: number; median_footprint_um: number };
  bath: {
    /** Rate and dissolved copper before each bite, and the copper after the last. */
    rate_um_per_min: number[]; copper_g_per_l: number[]; copper_end_g_per_l: number; dissolved_g: number;
  };
  /** What a screen shows for the bare sheet round the plate, 0–255. */
  sheet_srgb: number;
  values: Value[];
  /** What their numbers hold for, in a sentence; empty where they hold all over the plate. */
  values_scope: string;
  /** Later grounds whose bites the values' tones include; the tone curve is always the first ground's. */
  later_grounds: number;
  /** Tone curve of this ground against minutes in this bath, the last bite going on. */
  curve: { minutes: number[]; lightness: number[]; density: number[]; depth_um: number[]; /** Null when this bath never gets there. */ darkest_min: number | null };
  order: BathOrder;
}

/** A window of the print. */
export interface WindowRequest {
  left_um: number; top_um: number; width_px: number; height_px: number; px_um: number;
  /** What to show: the print, or the copper from above (depth and resin) after some bites. */
  show: 'print' | 'copper';
  /** Only for `copper`: after how many bites (0 = before the first). */
  after_bites?: number;
}

/** The cut under a line of the print, left to right as the print shows it. */
export interface CutRequest { left_um: number; y_um: number; width_um: number; after_bites: number; inked: boolean }

/** Heights in µm at evenly spaced places; 0 is the old surface of the copper, down is negative. */
export interface Cut {
  step_um: number;
  copper_um: Float32Array;
  /** Surface that the ground was laid on: below 0 in lines etched before it. */
  base_um: Float32Array;
  /** Top of the resin, or NaN where there is none. Lifted or undercut domes are shown where they sat. */
  resin_um: Float32Array;
  /** Surface of the ink left after wiping, or NaN. */
  ink_um: Float32Array;
  /** Which value each place belongs to. */
  value: Uint8Array;
}

/** Requests a worker answers. Each carries an id that comes back with the answer. */
export type Request =
  | { do: 'catalogue' }                                     // -> { fields, choices, constants, default_plan, limits }
  | { do: 'check'; json: string }                            // -> { plan?: Plan, problems: Problem[] }
  | { do: 'edit_bites'; json: string; edit: BiteEdit }         // -> EditedPlan
  | { do: 'plan'; json: string; state?: number; printed?: Printed } // -> { problems: Problem[] }; sets the worker's plan, the state looked at (0 = the last) and what is printed
  | { do: 'lines'; lightness: Uint8Array; width: number; height: number; part?: Crop } // -> {}; sets the picture of the lines, laid with the next picture or plan
  | { do: 'line_facts' }                                     // -> { facts: LineFacts | null }
  | { do: 'state_window'; state: number; window: WindowRequest } // -> as window, of another state
  | { do: 'passage'; outline: Corner[] }                     // -> { passage: Passage | null }
  | { do: 'harbour' }                                        // -> PictureAnswer; draws and sets the example picture
  | { do: 'lightness'; lightness: Uint8Array; width: number; height: number; part?: Crop; grey?: boolean } // -> PictureAnswer; sets a picture another worker has read, or the store kept
  | { do: 'likeness' }                                       // -> { made_for } of the picture
  | { do: 'same_picture'; a: MadeFor; b: MadeFor }           // -> { same }
  | { do: 'thresholds' }                                     // -> { thresholds_l, error_l } with the least error in what will be printed
  | { do: 'suits' }                                          // -> Suits
  | { do: 'region'; x_mm: number; y_mm: number }             // -> Ring[] round the part of one value at a place of the print
  | { do: 'guides'; paper: GuidePaper; mirrored: boolean; after: number } // -> Guide[] of the step after so many bites; below 0 of all
  | { do: 'summary' }                                        // -> Summary
  | { do: 'doubt'; constant: number }                        // -> Doubt of the constant at this place of the catalogue
  | { do: 'sample'; sample: SampleRequest }                  // -> Sample of any plan, whatever the worker's own plan is
  | { do: 'first'; width_px: number; height_px: number }     // -> { grey: Uint8Array } whole print, first true pass
  | { do: 'tile'; column: number; row: number; tile_um: number; out_um: number; px_um: number }
                                                             // -> { grey, width, height } every grain of one tile, averaged to out_um
  | { do: 'window'; window: WindowRequest }                  // -> { rgba: Uint8ClampedArray, width, height }
  | { do: 'ahead'; window: WindowRequest }                   // -> { more } lays one more tile of the ground round a window
  | { do: 'patch'; value: number; width_px: number; height_px: number; px_um: number } // -> { rgba, width, height }
  | { do: 'cut'; cut: CutRequest }                           // -> Cut
  | { do: 'values_map'; width_px: number; height_px: number } // -> { value: Uint8Array } which value goes where, as printed
  | { do: 'stages'; sample?: { json: string; value: number; shares: number[] } } // -> { stages } of the worker's plan, or of one value of another, which it takes
  | { do: 'moment'; place: Place; stage: number; share: number } // -> Moment: a place when this share of a stage has passed
  | { do: 'png'; grey: Uint8Array; width: number; height: number; out_um: number } // -> { png: Uint8Array }
  | { do: 'link'; with_picture: boolean; address_chars: number } // -> { link } of the worker's plan and picture, without #; the address before it counts
  | { do: 'open_link'; text: string }                        // -> OpenedLink
  | { do: 'differences'; before: string; after: string };    // -> { name, differences } of two sound plans as JSON

export type GuidePaper = 'a4' | 'a3' | 'letter' | 'whole';

/** One sheet of the stop-out guides; `after_bites` is null on the one that shows how the others join. */
export interface Guide { name: string; when: string; after_bites: number | null; sheet: string; file: string; width_mm: number; height_mm: number; svg: string }

/** What was in a link: a plan, or one sentence why not; both when only its small picture is damaged. */
export interface OpenedLink {
  plan?: Plan; sentence?: string;
  /** The small picture; `width` 0 when there is none. */
  lightness: Uint8Array; width: number;
}

/** One thing that differs between two plans, in words. */
export interface Difference { key: string; label: string; before: string; after: string; sentence: string }

export interface PictureAnswer {
  width: number; height: number;
  /** Picture pixels by lightness L* 0–100, 101 bins. */
  histogram: number[];
  /** The picture in grey, 0–255 (sRGB), width × height, for the crop frame. Only for `harbour`, or when asked for. */
  grey?: Uint8Array;
  /** The picture as lightness, for the other workers. Not for `lightness` itself. */
  lightness?: Uint8Array;
}

/** A constant of the model: how it is known stands beside it. */
export interface Constant {
  key: string; meaning: string; unit: string; default: number; min: number; max: number;
  tag: 'measured' | 'published' | 'estimated'; source: string;
}

/** One value of any plan on a plate with nothing else on it, for test strips. */
export interface SampleRequest {
  json: string; value: number;
  /** Share of the plate per value, paper first: how fast the bath tires. */
  shares: number[];
  /** A first look only: numbers from little ground, in a few milliseconds. */
  glance?: boolean;
  /** Windows and cuts, each only where wanted. */
  print?: Place; grain?: Place; copper?: Place & { after_bites: number }; cut?: CutRequest;
}

/** A raster on the print; with `fine_um` each pixel is the mean of a whole number of finer ones. */
export interface Place { left_um: number; top_um: number; width_px: number; height_px: number; px_um: number; fine_um?: number }

/** What a sample gives; with problems nothing else. */
export interface Sample {
  problems: Problem[]; numbers?: SampleNumbers;
  print?: { rgba: Uint8ClampedArray; width: number; height: number };
  grain?: { rgba: Uint8ClampedArray; width: number; height: number };
  copper?: { rgba: Uint8ClampedArray; width: number; height: number };
  cut?: Cut;
}

export interface SampleNumbers {
  minutes: number;
  /** Of the ground. */
  cover: number; domes_per_mm2: number; median_footprint_um: number;
  /** Of the dust and its bake. */
  loose_cover: number; mass_g_per_m2: number; plate_end_c: number; doneness: 'under' | 'good' | 'over';
  /** Of the bite: rate of the first, flat copper gone, mean over the area, share still standing. */
  rate_um_per_min: number; depth_um: number; mean_depth_um: number; land: number;
  /** Of the print. */
  held_um: number; printed_um: number; reflectance: number; lightness: number; density: number; srgb: number;
}

/**
 * One stage of the work as it is watched; `length` in seconds for the wait, minutes for lines, dust, bake and bites, strokes for a
 * tool, else the way across.
 */
export interface WatchStage {
  work: 'lines' | 'wait' | 'dust' | 'bake' | 'bite' | 'clean' | 'tool' | 'ink' | 'wipe' | 'print';
  /** Which state it belongs to, from 1. */
  state: number;
  /** Which ground of the plate, from 1; 0 for none. */
  ground: number;
  /** Which bite under that ground, from 1; 0 for none. */
  bite: number;
  /** Lightest and darkest value that lie open in a bite. */
  open: [number, number];
  tool: Tool | null;
  length: number;
}

/** A place at a moment of the work, from above and in the cut along its middle row; see `plate::proof::watch`. */
export interface Moment {
  rgba: Uint8ClampedArray; width: number; height: number;
  step_um: number;
  copper_um: Float32Array; base_um: Float32Array; resin_um: Float32Array; ink_um: Float32Array;
  /** Under side of the sheet, or NaN, and the ink on it. */
  sheet_um: Float32Array; printed_um: Float32Array;
  /** 1 where the row is stopped out. */
  stopped: Uint8Array;
  /** Loose grains: place, height of the centre, radius, three numbers each. */
  balls_um: Float32Array;
  numbers: MomentNumbers;
}

export interface MomentNumbers {
  cloud_g_per_m3: number; airborne_um: number; landed_g_per_m2: number; plate_c: number;
  cover: number; grains: number; domes: number;
  bath_min: number; deepest_um: number; undercut_um: number;
  /** Share of the place that lies open in this bite. */
  open: number;
  /** Strokes of a tool that reach the place, those of them begun, and how far the lands are down at most. */
  strokes: number; strokes_begun: number; lowered_um: number;
  held_um: number; printed_um: number;
  lightness: number;
}

/** How far a constant moves the plan's middle value across its plausible range, L*. */
/** What a constant's range does to the palest, the middle and the darkest value: their numbers and L*. */
export interface Doubt { key: string; values: Three; lightness: Three; lightness_at_min: Three; lightness_at_max: Three }
export type Three = [number, number, number];

/** What the page needs once: every control, and the plan it opens on. */
export interface Catalogue {
  fields: Field[]; choices: Choice[]; constants: Constant[]; default_plan: Plan;
  /** What of the real plate is left out, a sentence each. */
  not_modelled: string[];
  limits: { min_values: number; max_values: number; bite_min: [number, number] };
}

/** An edit of the list of bites; values and bites are counted from 1, the lightest. */
export type BiteEdit =
  | { edit: 'remove' | 'insert'; value: number }
  | { edit: 'move'; value: number; to: number }
  | { edit: 'take'; bites_min: number[]; thresholds_l: number[] };

/** The plan after an edit and what gave way, or a sentence that says why there is none. */
export interface EditedPlan { plan?: Plan; notices: string[]; sentence?: string }

/** What comes back for each request. */
export interface Answers {
  catalogue: Catalogue;
  check: { plan?: Plan; problems: Problem[] };
  edit_bites: EditedPlan;
  plan: { problems: Problem[] };
  harbour: PictureAnswer;
  lightness: PictureAnswer;
  likeness: { made_for: MadeFor };
  same_picture: { same: boolean };
  thresholds: { thresholds_l: number[]; error_l: number };
  suits: Suits;
  region: Ring[];
  lines: Record<string, never>;
  line_facts: { facts: LineFacts | null };
  guides: Guide[];
  summary: Summary;
  doubt: Doubt;
  sample: Sample;
  state_window: { rgba: Uint8ClampedArray; width: number; height: number };
  passage: { passage: Passage | null };
  first: { grey: Uint8Array };
  tile: { grey: Uint8Array; width: number; height: number };
  window: { rgba: Uint8ClampedArray; width: number; height: number };
  ahead: { more: boolean };
  patch: { rgba: Uint8ClampedArray; width: number; height: number };
  cut: Cut;
  values_map: { value: Uint8Array };
  stages: { stages: WatchStage[]; problems?: Problem[] };
  moment: Moment;
  png: { png: Uint8Array };
  link: { link: string };
  open_link: OpenedLink;
  differences: { name: string; differences: Difference[] };
}

/** Page to worker. */
export interface Sent { id: number; ask: Request }

/**
 * Worker to page: one answer for each request, in the order asked. `failed` is a request that could
 * not be met (bad arguments); `panic` means that the worker is broken and must be replaced.
 */
export type Returned =
  | { id: number; answer: Answers[keyof Answers] }
  | { id: number; failed: string }
  | { panic: string };
