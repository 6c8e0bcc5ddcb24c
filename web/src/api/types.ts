// SPDX-License-Identifier: Apache-2.0
//
// What the planner answers, as docs/openapi.json and docs/plan.schema.json describe it. Lengths mm, masses kg, money in
// minor units. Members that a study adds later are optional here, so that the page stands without them.

export interface Diagnostic {
  code: string;
  severity: 'note' | 'warning' | 'error';
  what: string;
  where: { file: string; line: number; column: number; piece: string };
  cure: string;
}

export type ChoiceKind = 'length' | 'count' | 'number' | 'section' | 'panel' | 'profile' | 'option' | 'yes-no';

export interface PatternChoice {
  name: string;
  kind: ChoiceKind;
  group: string;
  help: string;
  min?: number;
  max?: number;
  default: string;
  default_value?: number;
  worked_out: boolean;
  optional: boolean;
  range: string;
  options?: string[];
  role?: string;
}

export interface Pattern {
  name: string;
  title: string;
  help: string;
  picture?: string;
  example?: string;
  choices: PatternChoice[];
}

export interface YardSection {
  name: string;
  width_mm: number;
  thickness_mm: number;
  text: string;
  species: string;
  strength_class: string;
  treatment: string;
  lengths: { length_mm: number; price_minor?: number; bundles?: { count: number; price_minor: number }[] }[];
}

export interface Yard {
  name: string;
  title: string;
  note: string;
  currency: string;
  minor_digits: number;
  price_date: string;
  units: 'mm' | 'ft-in';
  sections: YardSection[];
  panels: { name: string; width_mm: number; height_mm: number; price_minor: number }[];
  usual: Record<string, string>;
}

export interface Blade {
  tool: 'bandsaw' | 'jigsaw';
  width_mm: number;
  inches: string;
  least_radius_mm: number;
  least_radius_thick_mm: number;
  most_thickness_mm?: number;
}

/// For each tool the widest first.
export interface Blades {
  thick_from_mm: number;
  blades: Blade[];
}

export interface Example {
  name: string;
  title: string;
  pattern: string;
  job: string;
}

export interface JobFile {
  name: string;
  title: string;
  etag: string;
}

export interface TakenChoice {
  name: string;
  value_mm?: number;
  value?: number;
  text: string;
  min?: number;
  max?: number;
  is_default: boolean;
}

export interface TakenStructure {
  name: string;
  pattern: string;
  choices: TakenChoice[];
}

export type Point = [number, number, number];

export interface Shape {
  id: string;
  positions: string;
  indices: string;
  edges: string;
}

interface Placed {
  name: string;
  instance: number;
  shape: string;
  structure: string;
  group: string;
  stage?: number;
  transform: number[];
}
export interface ModelPiece extends Placed {
  mark: string;
  where: string;
  member: string;
}
export interface ModelPanel extends Placed {
  item: string;
  solidity: number;
}

export interface ModelFooting {
  structure: string;
  post: string;
  centre: Point;
  diameter_mm: number;
  depth_mm: number;
  gravel_mm: number;
  fill: string;
}

export interface Size {
  name: string;
  structure: string;
  from: Point;
  to: Point;
  axis: 'x' | 'y' | 'z';
  value_mm: number;
  text: string;
  choice: string | null;
  per: number;
  min?: number;
  max?: number;
}

export interface Model {
  bounds: { min: Point; max: Point };
  shapes: Shape[];
  pieces: ModelPiece[];
  panels: ModelPanel[];
  footings: ModelFooting[];
  sizes: Size[];
}

export type Verdict = 'ok' | 'attention' | 'fails';

export interface Summary {
  title: string;
  units: 'mm' | 'ft-in';
  price_minor: number;
  currency: string;
  minor_digits: number;
  price_text: string;
  price_note: string;
  mass_kg: number;
  lengths: number;
  pieces: number;
  marks: number;
  optimal: boolean;
  worst_check: { id: string; title: string; utilisation: number; verdict: Verdict } | null;
}

export interface PieceLine {
  mark: string;
  name: string;
  structure: string;
  quantity: number;
  section: string;
  width_mm: number;
  thickness_mm: number;
  length_mm: number;
  length_text: string;
  mass_kg: number;
  why: string;
}

export interface Quick {
  summary: Summary;
  structures: TakenStructure[];
  pieces: PieceLine[];
  model: Model;
  diagnostics: Diagnostic[];
}

export interface CheckAnswer {
  ok: boolean;
  structures: TakenStructure[];
  diagnostics: Diagnostic[];
}

export interface Goods {
  name: string;
  quantity: number;
  unit_price_minor: number;
  unit?: string;
  needed?: number;
}

export interface CutPiece {
  mark: string;
  at_mm: number;
  length_mm: number;
  across_mm: number;
}
export interface CutLength {
  section: string;
  length_mm: number;
  count: number;
  pieces: CutPiece[];
  offcut_mm: number;
}

export interface Purchase {
  currency: string;
  minor_digits?: number;
  price_note?: string;
  total_minor: number;
  timber: { section: string; length_mm: number; quantity: number; unit_price_minor: number; bundle?: number }[];
  fixings: Goods[];
  ground: Goods[];
  extras: Goods[];
  proof: { cost_minor: number; lower_bound_minor: number; optimal: boolean };
  cutting: CutLength[];
}

export interface Mark {
  at_mm: number;
  face: string;
  kind: string;
  against: string;
  across_mm?: number;
  diameter_mm?: number;
  why?: string;
}
export interface MarkList {
  mark: string;
  datum: string;
  marks: Mark[];
}

export type StateKind = 'bare' | 'overgrown' | 'winter' | 'person';
/// A body that a check is about; equal pieces share their mark.
export interface Subject {
  part: string;
  body: string;
  mark?: string;
}
export interface StrengthCheck {
  id: string;
  kind: string;
  title: string;
  structure: string;
  subjects: Subject[];
  state: { kind: StateKind; combination: string; clause: string; year?: number; person?: string; on?: Subject } | null;
  demand: number;
  capacity: number;
  unit: string;
  utilisation: number;
  verdict: Verdict;
  source: string;
  combination?: string;
  plain?: string;
}

export interface Hole {
  x_mm: number;
  y_mm: number;
  diameter_mm: number;
  depth_mm: number;
  gravel_mm: number;
  concrete_l: number;
  bags: number | null;
  bag: string | null;
  structure: string;
  post: string;
}

export interface Stage {
  number: number;
  title: string;
  adds: string[];
  actions: string[];
  people: number;
  lift_kg: number;
  wait_h: number;
  minutes?: number;
  motions?: { bodies: string[]; to: string }[];
}

export interface Plan {
  format: number;
  title: string;
  units: 'mm' | 'ft-in';
  structures: { name: string; pattern: string; timber_kg?: number; panels_kg?: number }[];
  pieces: (PieceLine & { note?: string; volume_mm3?: number; machining: { kind: string; [more: string]: unknown }[] })[];
  purchase: Purchase;
  marking: MarkList[];
  checks?: StrengthCheck[];
  holes: Hole[];
  stages?: Stage[];
  cautions?: string[];
  diagnostics: Diagnostic[];
}

export interface Why {
  mark: string;
  lines: string[];
}

export interface ThriftStep {
  from: number;
  to: number;
  cost_minor?: number;
  lower_bound_minor?: number;
  refusal?: string;
}
export interface ThriftChoice {
  structure: string;
  choice: string;
  unit: 'length' | 'count';
  step: number;
  now: number;
  now_minor: number;
  proven: boolean;
  steps: ThriftStep[];
  cheaper: { value: number; cost_minor: number; saved_minor: number; pieces: string[]; lines: string[] }[];
}
export interface Thrift {
  currency: string;
  choices: ThriftChoice[];
}

export interface SheetKind {
  name: string;
  title: string;
  pages: number;
  first_page: number;
}
