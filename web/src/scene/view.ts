// SPDX-License-Identifier: Apache-2.0
//
// The standing structure as a picture: timber in its own tone, edges in ink. A projection of the model and of the look
// one asks for; it keeps no state of the job. Draws only when something changed.
import {
  BufferGeometry, Color, LineSegments, Matrix4, Mesh, PerspectiveCamera, Raycaster, Scene, Vector2, Vector3,
  type RawShaderMaterial, type WebGLRenderer,
} from 'three';
import type { Model, ModelPanel, ModelPiece, Point } from '../api/types';
import { bodyOf, stand, type Body, type Stood } from './bodies';
import { Brush } from './brush';
import { earthOf, linesOnGround } from './ground';
import { listen } from './hands';
import { lead, ledModel, stepsPast } from './lead';
import { corner, Orbit } from './orbit';
import { BackSide, DoubleSide, fill, Lit, paint, setLit, setTone, toneOf } from './paint';
import { giveBack, takeRenderer } from './renderers';
import { ShapeShelf } from './shapes';
import { StrokeLayer, type Stroke } from './strokes';
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
}

export const plainLook: Look = { cut: 0, explode: 0, selected: null, shown: null, fresh: null, failing: new Set(), ghosts: false, stageOf: null };

export const keyOfPiece = (piece: ModelPiece) => `${piece.mark}#${piece.instance}`;
export const keyOfPanel = (panel: ModelPanel) => `panel:${panel.structure}#${panel.instance}`;

export interface OnScreen {
  x: number;
  y: number;
  behind: boolean;
}
export type Project = (at: Point) => OnScreen;

const fieldOfView = 26;

export class View {
  readonly orbit = new Orbit();
  readonly camera = new PerspectiveCamera(fieldOfView, 1, 10, 50000);
  /// Asked before each picture: the lines to lay over it.
  annotate: ((project: Project) => Stroke[]) | null = null;
  onPick: (key: string | null) => void = () => undefined;
  onStep: (by: 1 | -1) => void = () => undefined;
  onStand: () => void = () => undefined;
  pictures = 0;  // drawn so far
  /// What the picture shows: the model, or where it leads while a size is dragged.
  shown: Model | null = null;

  private renderer: WebGLRenderer;
  private brush: Brush;
  private scene = new Scene();
  private strokes = new StrokeLayer();
  private shelf = new ShapeShelf();
  private bodies: Body[] = [];
  private stood: Stood = stand([], () => null);
  private look: Look = plainLook;
  private model: Model | null = null;
  private before: { model: Model; stood: Stood } | null = null;
  private tones: Tones;
  private lit = new Map<string, Lit>();
  private changed = new Set<string>();
  private changedTimer = 0;
  private frame = 0;
  private wide = 1;
  private high = 1;
  private stop: (() => void)[] = [];

  private earth = new Mesh(new BufferGeometry(), paint({ through: true, side: DoubleSide }));
  private lines = new LineSegments(new BufferGeometry(), paint({ through: true }));
  private face = [paint({ behind: true }), paint({ behind: true, through: true, side: DoubleSide })];
  private faceCut = [paint({ behind: true, cut: true }), paint({ behind: true, cut: true, through: true, side: DoubleSide })];
  private inside = paint({ plain: true, cut: true, side: BackSide });
  private ink = paint({});
  private inkCut = paint({ cut: true });
  private faces = new Mesh(new BufferGeometry(), this.face);
  private backs = new Mesh(this.faces.geometry, [this.inside]);
  private edges = new LineSegments(new BufferGeometry(), this.ink);
  private ghosts = new LineSegments(new BufferGeometry(), paint({ through: true }));

  constructor(readonly host: HTMLElement) {
    this.renderer = takeRenderer();
    this.brush = new Brush(this.renderer, [{ scene: this.scene, camera: this.camera }, this.strokes], (now) => host.classList.toggle('moving', now));
    host.prepend(this.renderer.domElement);
    this.tones = tones(host);
    [this.earth, this.lines, this.faces, this.backs, this.edges, this.ghosts].forEach((each, i) => {
      each.frustumCulled = false;
      each.matrixAutoUpdate = false;
      each.renderOrder = i;
      this.scene.add(each);
    });
    this.backs.visible = false;
    this.recolour();

    const resize = new ResizeObserver(() => this.resize());
    resize.observe(host);
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const recolour = () => this.recolour();
    dark.addEventListener('change', recolour);
    this.stop.push(() => resize.disconnect(), () => dark.removeEventListener('change', recolour));
    this.stop.push(listen(host, this.orbit, this.camera, {
      moved: () => {
        this.onStand();
        this.draw();
      },
      tapped: (x, y) => this.onPick(this.bodyAt(x, y)),
      stepped: (by) => this.onStep(by),
      let: () => this.onPick(null),
    }));
    this.resize();
  }

  dispose(): void {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.changedTimer);
    this.stop.forEach((each) => each());
    this.brush.dispose();
    this.strokes.dispose();
    for (const each of [this.earth, this.lines, this.faces, this.edges, this.ghosts]) each.geometry.dispose();
    for (const each of this.allPaint()) each.dispose();
    giveBack(this.renderer);
  }

  private allPaint(): RawShaderMaterial[] {
    return [this.earth.material, this.lines.material, this.ghosts.material, ...this.face, ...this.faceCut, this.inside, this.ink, this.inkCut];
  }

  /// Shows another model. The standpoint stays, so that what grows is seen to grow; `fit` moves it.
  setModel(model: Model, options: { fit: boolean; markChanges: boolean }): void {
    const was = new Map(this.bodies.map((each) => [each.key, each.shape]));
    const solids = this.shelf.take(model.shapes);
    const body = (key: string, mark: string, member: string, from: ModelPiece | ModelPanel): Body[] => {
      const solid = solids.get(from.shape);
      if (!solid?.faces.length) return [];
      return [bodyOf({ key, mark, member, stage: from.stage ?? 0, shape: from.shape, solid, at: new Matrix4().fromArray(from.transform) })];
    };
    this.before = this.model && !options.fit ? { model: this.model, stood: this.stood } : null;
    this.bodies = [
      ...model.pieces.flatMap((each) => body(keyOfPiece(each), each.mark, each.member, each)),
      ...model.panels.flatMap((each) => body(keyOfPanel(each), '', each.solidity < 0.9 ? 'open panel' : 'panel', each)),
    ];
    this.model = this.shown = model;
    this.setGround(model);
    if (options.markChanges && was.size > 0) this.markChanged(was);
    if (options.fit) this.fit();
    this.arrange();
    this.draw();
  }

  /// While a size is dragged: shows at once where it leads, until the next answer. `key` is "structure/size".
  leadTo(key: string, value: number): void {
    if (this.look.explode > 0 || !this.before || !this.model) return;
    const steps = stepsPast(this.before.model, this.model, key, value);
    if (steps === null) return;
    const [faces, edges] = [this.faces, this.edges].map((each) => each.geometry.getAttribute('position'));
    if (!faces || !edges) return;
    lead(this.before.stood, this.stood, steps, faces.array as Float32Array, edges.array as Float32Array);
    faces.needsUpdate = edges.needsUpdate = true;
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
    this.orbit.fit(this.model.bounds.min, this.model.bounds.max, fieldOfView, this.camera.aspect, this.high < 360);
    this.draw();
  }

  stand(from: 'corner' | 'front' | 'side' | 'top'): void {
    const ways = { corner: [corner.turn, corner.tilt], front: [0, 0.02], side: [Math.PI / 2, 0.02], top: [0, 1.55] } as const;
    const [turn, tilt] = ways[from];
    this.orbit.stand = { ...this.orbit.stand, turn, tilt };
    this.fit();
    this.onStand();
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

  private faceTone(member: string, state: 'plain' | 'selected' | 'fresh'): Lit {
    const name = `${member} ${state}`;
    let found = this.lit.get(name);
    if (!found) {
      const open = member === 'open panel';
      const colour = new Color(open || member === 'panel' ? this.tones.panel : this.tones.timber);
      if (!open) colour.multiplyScalar(shadeOf(member));
      if (state !== 'plain') colour.lerp(new Color(this.tones.accent), state === 'selected' ? 0.62 : 0.4);
      this.lit.set(name, (found = new Lit(colour, open ? 0.45 : 1)));
    }
    return found;
  }

  /// Puts every body that is shown where the look wants it.
  private arrange(): void {
    const { look } = this;
    const shown = look.shown ? this.bodies.filter((each) => look.shown!(each.key)) : this.bodies;
    this.stood = stand(shown, look.explode > 0 ? (each) => this.apart(each) : () => null);
    const { solidFaces, facePoints } = this.stood;
    this.faces.geometry.clearGroups();
    this.faces.geometry.addGroup(0, solidFaces, 0);
    this.faces.geometry.addGroup(solidFaces, facePoints.length / 3 - solidFaces, 1);
    const cutting = look.cut > 0;
    this.faces.material = cutting ? this.faceCut : this.face;
    this.edges.material = cutting ? this.inkCut : this.ink;
    this.backs.visible = cutting;
    if (this.model) {
      const { min, max } = this.model.bounds;
      const at = min[1] - 1 + look.cut * (max[1] - min[1]);
      for (const each of [...this.faceCut, this.inside, this.inkCut]) each.uniforms['cutAt']!.value = at;
    }
    this.tint();
  }

  private tint(): void {
    const { look, stood } = this;
    const faces = new Uint8Array((stood.facePoints.length / 3) * 4);
    const edges = new Uint8Array((stood.edgePoints.length / 3) * 4);
    const ink = toneOf(new Color(this.tones.ink));
    const accent = toneOf(new Color(this.tones.accent));
    for (const span of stood.spans) {
      const { key, mark, member } = span.body;
      const state = look.selected === key ? 'selected' : look.fresh?.(key) ? 'fresh' : 'plain';
      setLit(faces, stood.facePoints, span.face, span.faces, this.faceTone(member, state));
      setTone(edges, span.edge, span.edges, this.changed.has(key) || look.failing.has(mark) ? accent : ink);
    }
    fill(this.faces.geometry, stood.facePoints, faces);
    fill(this.edges.geometry, stood.edgePoints, edges);
    const hidden = look.ghosts && look.shown ? stand(this.bodies.filter((each) => !look.shown!(each.key)), () => null).edgePoints : new Float32Array();
    const faint = new Uint8Array((hidden.length / 3) * 4);
    setTone(faint, 0, hidden.length / 3, toneOf(new Color(this.tones.ink), 0.16));
    fill(this.ghosts.geometry, hidden, faint);
  }

  /// How far a body stands from its place: out from the middle, and up by the stage that brings it.
  private apart(each: Body): Vector3 {
    if (!this.model || this.look.explode === 0) return new Vector3();
    const { min, max } = this.model.bounds;
    const middle = new Vector3((min[0] + max[0]) / 2, (min[1] + max[1]) / 2, 0);
    const out = each.centre.clone().sub(middle);
    out.z = each.centre.z * 0.6;
    const stage = this.look.stageOf?.get(each.key) ?? each.stage;
    const last = Math.max(2, ...(this.look.stageOf?.values() ?? []));
    const up = stage > 0 ? ((stage - 1) / (last - 1)) * 700 : 0;
    if (stage > 0) out.z *= 0.4;
    return out.multiplyScalar(this.look.explode * 0.45).add(new Vector3(0, 0, up * this.look.explode));
  }

  private setGround(model: Model): void {
    const earth = earthOf(model, this.tones);
    const lines = linesOnGround(model, this.tones);
    fill(this.earth.geometry, earth.points, earth.colours);
    fill(this.lines.geometry, lines.points, lines.colours);
  }

  private recolour(): void {
    this.tones = tones(this.host);
    this.lit.clear();
    this.brush.paper(this.tones.paper);
    this.inside.uniforms['plain']!.value = toneOf(new Color(this.tones.cut)).map((each) => each / 255);
    if (!this.model) return;
    this.setGround(this.model);
    this.tint();
    this.draw();
  }

  private resize(): void {
    const { clientWidth: wide, clientHeight: high } = this.host;
    if (wide === 0 || high === 0) return;
    [this.wide, this.high] = [wide, high];
    const before = this.camera.aspect;
    this.brush.resize(wide, high);
    this.strokes.resize(wide, high);
    this.camera.aspect = wide / high;
    if (Math.abs(before - this.camera.aspect) > 0.2) this.fit();
    this.draw();
  }

  private bodyAt(x: number, y: number): string | null {
    const frame = this.renderer.domElement.getBoundingClientRect();
    const at = new Vector2(((x - frame.left) / frame.width) * 2 - 1, 1 - ((y - frame.top) / frame.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(at, this.camera);
    const before = this.look.cut > 0 ? (this.inside.uniforms['cutAt']!.value as number) : -Infinity;
    const hit = ray.intersectObject(this.faces, false).find((each) => each.point.y >= before);
    const corner = (hit?.faceIndex ?? -1) * 3;
    return this.stood.spans.find((each) => corner >= each.face && corner < each.face + each.faces)?.body.key ?? null;
  }

  /// How much of the garden a CSS pixel of the picture covers where one looks at, mm.
  mmToPixel(): number {
    return (2 * this.orbit.stand.far * Math.tan((fieldOfView * Math.PI) / 360)) / this.high;
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
      this.orbit.place(this.camera);
      this.strokes.set(this.annotate?.(this.project) ?? [], {
        ink: toneOf(new Color(this.tones.ink)), soft: toneOf(new Color(this.tones.soft)), accent: toneOf(new Color(this.tones.accent)),
      });
      this.brush.draw();
      this.pictures += 1;
      if (this.model) performance.mark('picture');
    });
  }
}
