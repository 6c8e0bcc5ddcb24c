// SPDX-License-Identifier: Apache-2.0
//
// The picture of the structure: a projection of the model, updated in parts. Shows what the model says and highlights what
// one asks for; it keeps no state of the job. Draws only when something changed.
import { Box3, BufferGeometry, Color, Matrix4, Mesh, NoBlending, Raycaster, Scene, Vector2, Vector3, type RawShaderMaterial, type WebGLRenderer } from 'three';
import type { Model, ModelPanel, ModelPiece, Point } from '../api/types';
import { markMoment } from '../base/moments';
import { bodyOf, stand, type Body, type Stood } from './bodies';
import { Brush } from './brush';
import { dimensionLines, rowsOnPaper } from './dimensions';
import type { Drive } from './film';
import { drivenFixings } from './fixings';
import { earthOf, gridOf, holesOf } from './ground';
import { listen } from './hands';
import { keyOfPanel, keyOfPiece } from './keys';
import type { Laths } from './lattice';
import { lead, ledModel, stepsPast } from './lead';
import { corner, elevations, Orbit, waysOf, type Camera, type Elevation } from './orbit';
import { BackSide, fill, Lit, paint, setLit, setTone, toneOf, type Tone } from './paint';
import { Lines, pencil, type Sheet } from './pencil';
import { giveBack, takeRenderer } from './renderers';
import { ShapeShelf } from './shapes';
import { StrokeLayer, type Stroke } from './strokes';
import { surroundingsOf } from './surroundings';
import { shadeOf, tones, type Tones } from './tones';

/// What of the model is shown, and how.
export interface Look {
  cut: number;                         // 0 whole … 1 cut away from the front to the back
  explode: number;                     // 0 standing … 1 apart
  selected: string | null;             // key of a body
  shown: ((key: string) => boolean) | null;
  fresh: ((key: string) => boolean) | null;  // drawn in the accent: what a stage adds
  failing: ReadonlySet<string>;        // marks with a check that fails
  ghosts: boolean;                     // what is not shown is hinted at by its edges
  stageOf: ReadonlyMap<string, number> | null;  // which stage of the build order brings a body
  poses: ReadonlyMap<string, Matrix4> | null;   // of bodies that are not in their place
  driven: { drive: Drive; share: number }[];    // fixings, and how far each is in
}

export const plainLook: Look = { cut: 0, explode: 0, selected: null, shown: null, fresh: null, failing: new Set(), ghosts: false, stageOf: null, poses: null, driven: [] };

export interface OnScreen {
  x: number;
  y: number;
  behind: boolean;
}
export type Project = (at: Point) => OnScreen;

const noLines = { points: new Float32Array(), colours: new Uint8Array(), thick: new Float32Array() };

export class View {
  readonly orbit = new Orbit();
  /// Asked before each picture: the lines to lay over it.
  annotate: ((project: Project) => Stroke[]) | null = null;
  onPick: (key: string | null) => void = () => undefined;
  onStep: (by: 1 | -1) => void = () => undefined;
  onStand: () => void = () => undefined;
  pictures = 0;  // drawn so far
  held = false;  // a size is under a finger
  /// What the picture shows: the model, or where it leads while a size is dragged.
  shown: Model | null = null;

  /// Whether sizes are drawn around it, which take room; of several structures those of one.
  sized = false;
  sizesOf: string | null = null;
  /// Corners of what else is to be seen when all is fitted into the picture.
  include: Point[] = [];

  private renderer: WebGLRenderer;
  private brush: Brush;
  private scene = new Scene();
  private strokes = new StrokeLayer();
  private shelf = new ShapeShelf();
  private bodies: Body[] = [];
  private stood: Stood = stand([], () => null);
  private look: Look = plainLook;
  private model: Model | null = null;
  private ground = 0;  // its highest level
  private reach: { of: Body[]; part: string; bounds: Model['bounds'] } | null = null;
  private over: Model | null = null;
  private before: { model: Model; stood: Stood } | null = null;
  private tones: Tones;
  private strokeTones!: Record<Stroke['tone'], Tone>;
  private lit = new Map<string, Lit>();
  private changed = new Set<string>();
  private changedTimer = 0;
  private frame = 0;
  wide = 1;
  high = 1;
  rem = 1;  // how much larger than usual text is: sizes want so much more room
  private stop: (() => void)[] = [];

  private sheet: Sheet = { sheet: { value: new Vector2(1, 1) }, dots: { value: 1 } };
  private earthPaint = paint({});
  private facePaint = [false, true].map((cut) => [false, true].map((hasty) => paint({ behind: true, wood: true, cut, hasty })));  // by cut and haste
  private hasty = false;
  private outlines = pencil(this.sheet, {});
  private inside = paint({ plain: true, cut: true, side: BackSide });
  private dashes = pencil(this.sheet, { hidden: true });
  private holeDashes = pencil(this.sheet, { hidden: true });  // holes are drawn whole, whatever is cut away

  private earth = new Mesh(new BufferGeometry(), this.earthPaint);
  private skirt = new Mesh(new BufferGeometry(), paint({}));
  private around = new Mesh(new BufferGeometry(), paint({ behind: true }));
  private grid = new Lines();
  private aroundLines = new Lines();
  private holes = new Lines();
  private edges = new Lines();
  private ghosts = new Lines();
  private gridMesh = this.grid.mesh(pencil(this.sheet, { fine: true }));
  private holeMesh = this.holes.mesh(this.holeDashes);
  private buriedMesh = this.edges.mesh(this.dashes, this.edges.first);
  private aroundMesh = this.aroundLines.mesh(pencil(this.sheet, {}));
  private faces = new Mesh(new BufferGeometry(), this.facePaint[0]![0]);
  private fixings = new Mesh(new BufferGeometry(), paint({ behind: true }));
  private backs = new Mesh(this.faces.geometry, this.inside);
  private edgeMesh = this.edges.mesh(this.outlines);
  private hiddenMesh = this.edges.mesh(this.dashes);
  private ghostMesh = this.ghosts.mesh(pencil(this.sheet, { fine: true }));

  constructor(readonly host: HTMLElement) {
    this.renderer = takeRenderer();
    this.brush = new Brush(this.renderer, () => ({ scene: this.scene, camera: this.camera }), this.strokes, (now) => host.classList.toggle('moving', now), (coarse) => this.coarsen(coarse));
    host.prepend(this.renderer.domElement);
    this.tones = tones(host);
    // In this order: what is buried is what only the earth hides, as long as nothing else has been drawn.
    this.skirt.material.colorWrite = false;
    [this.earth, this.skirt, this.holeMesh, this.buriedMesh, this.gridMesh, this.around, this.aroundMesh, this.faces, this.fixings, this.backs, this.edgeMesh, this.hiddenMesh, this.ghostMesh].forEach((each, i) => {
      each.frustumCulled = false;
      each.matrixAutoUpdate = false;
      each.renderOrder = i;
      this.scene.add(each);
    });
    for (const each of [this.earthPaint, this.skirt.material, this.around.material, this.fixings.material, ...this.facePaint.flat(), this.inside]) {
      each.transparent = true;  // drawn as listed, not all that covers first
      each.blending = NoBlending;
    }
    this.backs.visible = false;
    this.recolour();

    const resize = new ResizeObserver(() => this.resize());
    resize.observe(host);
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const recolour = () => this.recolour();
    dark.addEventListener('change', recolour);
    this.stop.push(() => resize.disconnect(), () => dark.removeEventListener('change', recolour));
    this.stop.push(listen(host, this.orbit, {
      moved: () => this.moved(),
      zoomed: (factor, x, y) => this.zoomAt(factor, x, y),
      tapped: (x, y) => this.onPick(this.bodyAt(x, y)),
      stepped: (by) => this.onStep(by),
      let: () => this.onPick(null),
    }));
    this.resize();
  }

  get camera(): Camera {
    return this.orbit.camera;
  }

  dispose(): void {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.changedTimer);
    this.stop.forEach((each) => each());
    this.brush.dispose();
    this.strokes.dispose();
    for (const each of [this.earth.geometry, this.skirt.geometry, this.faces.geometry, this.fixings.geometry, this.around.geometry, this.aroundLines, this.grid, this.holes, this.edges, this.ghosts]) each.dispose();
    for (const each of this.allPaint()) each.dispose();
    giveBack(this.renderer);
  }

  private allPaint(): RawShaderMaterial[] {
    return [this.earthPaint, this.skirt.material, this.around.material, this.aroundMesh.material, this.fixings.material, ...this.facePaint.flat(), this.outlines, this.inside, this.dashes, this.holeDashes, this.gridMesh.material, this.ghostMesh.material];
  }

  private moved(): void {
    this.onStand();
    this.draw();
  }

  /// Shows another model. The standpoint stays, so that what grows is seen to grow; `fit` moves it.
  setModel(model: Model, options: { fit: boolean; markChanges: boolean }): void {
    const was = new Map(this.bodies.map((each) => [each.key, each.shape]));
    this.before = this.model && !options.fit ? { model: this.model, stood: this.stood } : null;
    this.bodies = this.bodiesOf(model, this.shelf);
    this.ground = model.ground ? Math.max(...model.ground.level_mm) : 0;
    this.model = this.shown = model;
    this.setGround(model);
    if (options.markChanges && was.size > 0) this.markChanged(was);
    if (options.fit) this.fit();
    this.arrange();
    this.draw();
  }

  private bodiesOf(model: Model, shelf: ShapeShelf): Body[] {
    const solids = shelf.take(model.shapes);
    const body = (key: string, mark: string, member: string, from: ModelPiece | ModelPanel, laths: Laths | null): Body[] => {
      const whole = solids.get(from.shape);
      if (!whole?.faces.length) return [];
      const solid = laths === null ? whole : shelf.lattice(from.shape, laths);
      return [bodyOf({ key, mark, member, structure: from.structure, stage: from.stage ?? 0, shape: from.shape, solid, at: new Matrix4().fromArray(from.transform) })];
    };
    return [
      ...model.pieces.flatMap((each) => body(keyOfPiece(each), each.mark, each.member, each, null)),
      ...model.panels.flatMap((each) => body(keyOfPanel(each), '', 'panel', each, each.laths)),
    ];
  }

  /// While a size is dragged: shows at once where it leads, until the next answer. `key` is "structure/size".
  leadTo(key: string, value: number): void {
    if (this.look.explode > 0 || !this.before || !this.model) return;
    const steps = stepsPast(this.before.model, this.model, key, value);
    if (steps === null) return;
    const faces = this.faces.geometry.getAttribute('position');
    if (!faces) return;
    lead(this.before.stood, this.stood, steps, faces.array as Float32Array, this.edges.points);
    faces.needsUpdate = true;
    this.edges.moved();
    this.shown = ledModel(this.before.model, this.model, steps);
    this.draw();
  }

  setLook(look: Look): void {
    this.look = look;
    this.orbit.apart = look.explode;
    this.arrange();
    this.draw();
  }

  fit(): void {
    if (!this.model) return;
    const { min, max } = this.model.bounds;
    const low = Math.min(min[2], ...this.model.footings.map((each) => each.centre[2] - each.depth_mm));
    if (this.orbit.stand.flat) {
      const { right, up } = waysOf(this.orbit.stand);
      const rows = rowsOnPaper(this.measured(this.model), right, up);
      const room = (count: number, of: number) => Math.min((26 + 30 * count) * this.rem, of * 0.28);
      const sides = { left: room(rows.left, this.wide), right: room(rows.right, this.wide), top: room(rows.top, this.high), bottom: room(rows.bottom, this.high) };
      this.orbit.fitFlat([min[0], min[1], low], max, this.wide, this.high, sides);
    } else {
      const corners = [min, max].flatMap((a) => [min, max].flatMap((b) => [low, max[2]].map((z): Point => [a[0], b[1], z])));
      const all = [...corners, ...this.include];
      const rim = 12 + 0.05 * Math.min(this.wide, this.high);
      this.orbit.fitAll(all, this.wide, this.high, rim);
      // Where its sizes stand follows from how large it is drawn: they are fitted in once that is known about.
      if (this.sized) this.orbit.fitAll([...all, ...this.sizeEnds()], this.wide, this.high, rim);
    }
    this.draw();
  }

  /// The model as its sizes see it: of several structures the one that is measured, and how far it reaches.
  measured(model: Model): Model {
    const part = this.sizesOf;
    if (part === null) return model;
    if (this.reach?.of !== this.bodies || this.reach.part !== part) {
      const box = new Box3();
      const corner = new Vector3();
      for (const each of this.bodies)
        if (each.structure === part) for (let i = 0; i < each.solid.points.length; i += 3) box.expandByPoint(corner.fromArray(each.solid.points, i).applyMatrix4(each.at));
      this.reach = { of: this.bodies, part, bounds: box.isEmpty() ? model.bounds : { min: box.min.toArray() as Point, max: box.max.toArray() as Point } };
    }
    return { ...model, bounds: this.reach.bounds, sizes: model.sizes.filter((each) => each.structure === part), footings: model.footings.filter((each) => each.structure === part) };
  }

  private sizeEnds(): Point[] {
    const { right, toEye } = waysOf(this.orbit.stand);
    return dimensionLines(this.measured(this.model!), toEye.setZ(0).normalize(), right.negate(), 30 * this.rem * this.mmToPixel()).flatMap((each) => [each.lineFrom, each.lineTo]);
  }

  stand(from: 'corner' | Elevation): void {
    const flat = from === 'corner' ? null : from;
    this.orbit.stand = { ...this.orbit.stand, ...(flat ? elevations[flat] : corner), flat };
    this.fit();
    this.onStand();
  }

  /// Corners of every body where it stands, by its key.
  boxes(): Map<string, Vector3[]> {
    const point = new Vector3();
    return new Map(this.bodies.map((each) => {
      const box = new Box3();
      for (let i = 0; i < each.solid.points.length; i += 3) box.expandByPoint(point.fromArray(each.solid.points, i).applyMatrix4(each.at));
      const { min, max } = box;
      return [each.key, [min, max].flatMap((a) => [min, max].flatMap((b) => [min, max].map((c) => new Vector3(a.x, b.y, c.z))))];
    }));
  }

  /// Another version of it laid over this one, by its edges.
  layOver(model: Model | null): void {
    this.over = model;
    this.tint();
    this.draw();
  }

  keys(): string[] {
    return this.bodies.map((each) => each.key);
  }

  private markChanged(was: Map<string, string>): void {
    const now = this.bodies.filter((each) => was.get(each.key) !== each.shape).map((each) => each.key);
    if (now.length === 0) return;
    this.changed = new Set(now);
    clearTimeout(this.changedTimer);
    this.changedTimer = window.setTimeout(() => {
      this.changed = new Set();
      this.tint();
      this.draw();
    }, 1400);
  }

  private faceTone(member: string, state: 'plain' | 'selected' | 'fresh' | 'failing'): Lit {
    const name = `${member} ${state}`;
    let found = this.lit.get(name);
    if (!found) {
      const colour = new Color(member === 'panel' ? this.tones.panel : this.tones.timber);
      colour.multiplyScalar(shadeOf(member));
      const share = { plain: 0, selected: 0.62, fresh: 0.4, failing: 0.5 }[state];
      if (share > 0) colour.lerp(new Color(this.tones.accent), share);
      this.lit.set(name, (found = new Lit(colour)));
    }
    return found;
  }

  /// Puts every body that is shown where the look wants it.
  private arrange(): void {
    const { look } = this;
    const all = look.shown ? this.bodies.filter((each) => look.shown!(each.key)) : this.bodies;
    const buried = (each: Body) => each.low < this.ground;
    const shown = [...all.filter(buried), ...all.filter((each) => !buried(each))];  // the first of the edges may be dashed
    this.stood = stand(shown, look.explode > 0 ? (each) => this.apart(each) : (each) => look.poses?.get(each.key) ?? null);
    const driven = drivenFixings(look.driven, look.poses ?? new Map(), this.tones);
    fill(this.fixings.geometry, driven.points, driven.colours);
    const cut = look.cut > 0 ? 1 : 0;
    this.faces.material = this.facePaint[cut]![Number(this.hasty)]!;
    this.backs.visible = cut === 1;
    if (this.model) {
      const { min, max } = this.model.bounds;
      const at = cut ? min[1] - 1 + look.cut * (max[1] - min[1]) : -1e9;
      for (const each of [...this.facePaint[1]!, this.outlines, this.inside, this.dashes]) each.uniforms['cutAt']!.value = at;
    }
    this.tint();
  }

  private tint(): void {
    const { look, stood } = this;
    const faces = new Uint8Array((stood.facePoints.length / 3) * 4);
    const edges = new Uint8Array((stood.edgePoints.length / 6) * 4);
    const ink = toneOf(new Color(this.tones.ink));
    const accent = toneOf(new Color(this.tones.accent));
    for (const span of stood.spans) {
      const { key, mark, member } = span.body;
      const state = look.selected === key ? 'selected' : look.fresh?.(key) ? 'fresh' : look.failing.has(mark) ? 'failing' : 'plain';
      setLit(faces, stood.facePoints, span.face, span.faces, this.faceTone(member, state));
      setTone(edges, span.edge / 2, span.edges / 2, this.changed.has(key) ? accent : ink);
    }
    fill(this.faces.geometry, stood.facePoints, faces, stood.grain);
    this.edges.fill(stood.edgePoints, edges, stood.thick);
    this.edges.drawFirst(stood.spans.filter((each) => each.body.low < this.ground).reduce((sum, each) => sum + each.edges / 2, 0));
    const hidden = this.over ? stand(this.bodiesOf(this.over, new ShapeShelf()), () => null)
      : look.ghosts && look.shown ? stand(this.bodies.filter((each) => !look.shown!(each.key)), () => null) : null;
    if (!hidden) return this.ghosts.fill(noLines.points, noLines.colours, noLines.thick);
    const faint = new Uint8Array((hidden.edgePoints.length / 6) * 4);
    setTone(faint, 0, hidden.edgePoints.length / 6, this.over ? toneOf(new Color(this.tones.accent)) : toneOf(new Color(this.tones.ink), 0.26));
    this.ghosts.fill(hidden.edgePoints, faint, hidden.thick);
  }

  /// How far a body stands from its place: out from the middle, and up by the stage that brings it.
  private apart(each: Body): Matrix4 | null {
    if (!this.model || this.look.explode === 0) return null;
    const { min, max } = this.model.bounds;
    const middle = new Vector3((min[0] + max[0]) / 2, (min[1] + max[1]) / 2, 0);
    const out = each.centre.clone().sub(middle);
    out.z = each.centre.z * 0.6;
    const stage = this.look.stageOf?.get(each.key) ?? each.stage;
    const last = Math.max(2, ...(this.look.stageOf?.values() ?? []));
    const up = stage > 0 ? ((stage - 1) / (last - 1)) * 700 : 0;
    if (stage > 0) out.z *= 0.4;
    return new Matrix4().makeTranslation(out.multiplyScalar(this.look.explode * 0.45).add(new Vector3(0, 0, up * this.look.explode)));
  }

  private setGround(model: Model): void {
    const earth = earthOf(model, this.tones);
    fill(this.earth.geometry, earth.surface.points, earth.surface.colours);
    fill(this.skirt.geometry, earth.skirt.points, earth.skirt.colours);
    const around = surroundingsOf(model, this.tones);
    fill(this.around.geometry, around.faces.points, around.faces.colours);
    for (const [lines, drawn] of [[this.aroundLines, around.lines], [this.grid, gridOf(model, this.tones)], [this.holes, holesOf(model, this.tones)]] as const)
      lines.fill(drawn.points, drawn.colours, drawn.thick);
  }

  private recolour(): void {
    this.tones = tones(this.host);
    this.strokeTones = { ink: toneOf(new Color(this.tones.ink)), soft: toneOf(new Color(this.tones.soft)), accent: toneOf(new Color(this.tones.accent)) };
    this.lit.clear();
    this.brush.paper(this.tones.paper);
    const share = (colour: string) => toneOf(new Color(colour)).map((each) => each / 255);
    this.inside.uniforms['plain']!.value = share(this.tones.timber);
    this.inside.uniforms['hatch']!.value = share(this.tones.cut);
    if (!this.model) return;
    this.setGround(this.model);
    this.tint();
    this.draw();
  }

  private resize(): void {
    const { clientWidth: wide, clientHeight: high } = this.host;
    if (wide === 0 || high === 0) return;
    const [first, before] = [this.wide === 1, this.wide / this.high];
    [this.wide, this.high] = [wide, high];
    this.rem = Math.max(1, parseFloat(getComputedStyle(document.documentElement).fontSize) / 16);
    this.host.style.setProperty('--wide', String(wide));  // for paper, which makes it smaller as a whole
    this.host.style.setProperty('--high', String(high));
    this.brush.resize(wide, high);
    this.strokes.resize(wide, high);
    this.measureDots();
    if (first || Math.abs(before - wide / high) > 0.2 || this.orbit.stand.flat) this.fit();
    this.draw();
  }

  private measureDots(): void {
    const ratio = this.renderer.getPixelRatio();
    this.sheet.sheet.value.set(this.wide * ratio, this.high * ratio);
    this.sheet.dots.value = ratio * this.rem;  // lines are as heavy to the text beside them on every screen
    this.inside.uniforms['spacing']!.value = 9 * ratio * this.rem;
  }

  private coarsen(coarse: boolean): void {
    this.hasty = coarse;
    this.faces.material = this.facePaint[this.look.cut > 0 ? 1 : 0]![Number(coarse)]!;
    this.measureDots();
  }

  private rayThrough(x: number, y: number): Raycaster {
    const frame = this.renderer.domElement.getBoundingClientRect();
    const at = new Vector2(((x - frame.left) / frame.width) * 2 - 1, 1 - ((y - frame.top) / frame.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(at, this.camera);
    return ray;
  }

  private hitBy(ray: Raycaster) {
    const before = this.look.cut > 0 ? (this.inside.uniforms['cutAt']!.value as number) : -Infinity;
    return ray.intersectObject(this.faces, false).find((each) => each.point.y >= before);
  }

  private bodyAt(x: number, y: number): string | null {
    const corner = (this.hitBy(this.rayThrough(x, y))?.faceIndex ?? -1) * 3;
    return this.stood.spans.find((each) => corner >= each.face && corner < each.face + each.faces)?.body.key ?? null;
  }

  /// To what lies under the pointer; where that is nothing, to the part of the structure nearest to it.
  private zoomAt(factor: number, x: number, y: number): void {
    const ray = this.rayThrough(x, y);
    const hit = this.hitBy(ray)?.point ?? (factor < 1 ? this.nearestTo(x, y) : null);
    const { toEye } = waysOf(this.orbit.stand);
    const at = new Vector3(...this.orbit.stand.at);
    if (hit) {
      // What one looks at comes as near as what is pointed at: one never ends before or behind it.
      const deep = hit.clone().sub(at).dot(toEye);
      if (!this.orbit.stand.flat) at.addScaledVector(toEye, deep * Math.min(1, Math.abs(1 - factor) * 3));
      this.orbit.stand.at = [at.x, at.y, at.z];
    }
    this.orbit.zoomBy(factor, hit ? [hit.x, hit.y, hit.z] : undefined);
    this.moved();
  }

  private nearestTo(x: number, y: number): Vector3 | null {
    const frame = this.renderer.domElement.getBoundingClientRect();
    const aim = new Vector2(((x - frame.left) / frame.width) * 2 - 1, 1 - ((y - frame.top) / frame.height) * 2);
    const points = this.stood.edgePoints;
    const step = Math.max(1, Math.floor(points.length / 3 / 4000)) * 3;
    const each = new Vector3();
    let [least, found] = [Infinity, -1];
    for (let i = 0; i < points.length; i += step) {
      each.fromArray(points, i).project(this.camera);
      const far = ((each.x - aim.x) * this.wide) ** 2 + ((each.y - aim.y) * this.high) ** 2;
      if (each.z < 1 && far < least) [least, found] = [far, i];
    }
    return found < 0 ? null : new Vector3().fromArray(points, found);
  }

  /// How much of the garden a CSS pixel of the picture covers where one looks at, mm.
  mmToPixel(): number {
    return this.orbit.high / this.high;
  }

  /// Where a point of the garden is on the picture, in CSS pixels.
  project: Project = (at) => {
    const seen = new Vector3(...at).project(this.camera);
    return { x: ((seen.x + 1) / 2) * this.wide, y: ((1 - seen.y) / 2) * this.high, behind: seen.z > 1 };
  };

  draw(): void {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.orbit.place(this.wide / this.high);
      const { flat, tilt } = this.orbit.stand;
      this.earth.visible = this.skirt.visible = this.gridMesh.visible = tilt > -0.02;
      if (flat === 'front' || flat === 'side') this.gridMesh.visible = false;
      this.ghostMesh.material.depthTest = this.over === null;
      this.hiddenMesh.visible = flat !== null && this.look.explode === 0;
      this.strokes.set(this.annotate?.(this.project) ?? [], this.strokeTones);
      if (!this.model) return this.brush.blank();
      this.brush.draw(this.held);
      this.pictures += 1;
      markMoment('picture');
    });
  }
}
