// SPDX-License-Identifier: Apache-2.0
//
// What the planner answers: names for the types that `npm run types` makes of docs/openapi.json and docs/plan.schema.json
// (in made/, never edited). Lengths mm, masses kg, money in minor units.
import type { components as Asked } from './made/openapi';
import type { components as Planned } from './made/plan';

type Answers = Asked['schemas'];
type Parts = Planned['schemas'];

// ---- the shelves ----
export type Pattern = Answers['Pattern'];
export type PatternChoice = Answers['Choice'];
export type Yard = Answers['Yard'];
export type Blades = Answers['Blades'];
export type Blade = Blades['blades'][number];
/// What may be said of a site: a number has unit, min, max, and default_value where silence means one; a word has options and default.
export type SiteQuestion = Answers['SiteQuestion'];
export type Example = Answers['Example'];
export type JobFile = Answers['JobFile'];

// ---- answers to a job ----
export type Diagnostic = Answers['Diagnostic'];
export type CheckAnswer = Answers['Check'];
export type TakenStructure = Answers['Structure'];
export type TakenChoice = Answers['TakenChoice'];
export type Quick = Answers['Quick'];
export type Summary = Answers['Summary'];
export type PieceLine = Answers['PieceLine'];
export type Why = Answers['Why'];
export type Thrift = Answers['Thrift'];
export type ThriftChoice = Thrift['choices'][number];
export type FileKind = Answers['FileKind'];
export type SheetKind = Answers['SheetKind'];

// ---- what stands ----
export type SearchProgress = Answers['SearchProgress'];
type Joint = { structure: string; joint: string; value: string; was: string };
export type Decided = Omit<Parts['Decided'], 'fixings'> & { fixings: Joint[] };
export type Advice = Parts['Advice'] & { cures?: { structure: string; check: string; title: string; words: string }[] };
export type Way = Advice['ways'][number];
export type Settled = Decided['choices'][number];

// ---- the model ----
export type Point = Answers['Point'];
export type Shape = Answers['Shape'];
export type Model = Answers['Model'];
export type ModelPiece = Model['pieces'][number];
export type ModelPanel = Model['panels'][number];
export type ModelFooting = Model['footings'][number];
export type ModelFixing = NonNullable<Model['fixings']>[number];
export type Size = Model['sizes'][number];

// ---- the plan ----
export type Plan = Parts['Plan'];
export type Purchase = Parts['purchase'];
export type Goods = Parts['item'];
export type CutLength = Purchase['cutting'][number];
export type CutPiece = CutLength['pieces'][number];
export type MarkList = Parts['mark_list'];
export type Mark = MarkList['marks'][number];
export type StrengthCheck = Parts['check'];
export type Stand = Parts['stand'];
export type Verdict = StrengthCheck['verdict'];
export type Hole = Parts['hole_in_ground'];
export type Stage = Parts['stage'];
