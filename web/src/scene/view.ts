// SPDX-License-Identifier: Apache-2.0
//
// The standing structure as a picture: timber in its own tone, edges in ink. A projection of the model and of the look
// one asks for; it keeps no state of the job. Draws only when something changed.
import {
  AmbientLight, BackSide, Color, CylinderGeometry, DirectionalLight, DoubleSide, EdgesGeometry, FrontSide, GridHelper,
  Group, LineBasicMaterial, LineDashedMaterial, LineSegments, Matrix4, Mesh, MeshBasicMaterial, MeshLambertMaterial,
  PerspectiveCamera, Plane, PlaneGeometry, Raycaster, Scene, Vector2, Vector3, WebGLRenderer, type BufferGeometry, type Material,
} from 'three';
import type { Model, ModelPanel, ModelPiece, Point } from '../api/types';
import { listen } from './hands';
import { lead, stepsPast, stoodIn, type Stood } from './lead';
import { corner, Orbit } from './orbit';
import { ShapeShelf } from './shapes';
import { shadeOf, tones, type Tones } from './tones';

/// What of the model is shown, and how.
export interface Look {
  cut: number;                         // 0 whole … 1 cut away from the front to the back
  explode: number;                     // 0 standing … 1 apart
  selected: string | null;             // key of a body
  shown: ((key: string) => boolean) | null;
  fresh: ((key: string) => boolean) | null;  // drawn in the accent: what a stage adds
  failing: ReadonlySet<string>;        // marks with a check that fails
  stageOf: ReadonlyMap<string, number> | null;  // which stage of the build order brings a body
}

export const plainLook: Look = { cut: 0, explode: 0, selected: null, shown: null, fresh: null, failing: new Set(), stageOf: null };

export const keyOfPiece = (piece: ModelPiece) => `${piece.mark}#${piece.instance}`;
export const keyOfPanel = (panel: ModelPanel) => `panel:${panel.structure}#${panel.instance}`;

interface Placed {
  key: string;
  mark: string;
  holder: Group;
  at: Matrix4;
  centre: Vector3;
  stage: number;
  member: string;
  shape: string;
}

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
  onDraw: (project: Project) => void = () => undefined;
  onPick: (key: string | null) => void = () => undefined;
  onStep: (by: 1 | -1) => void = () => undefined;
  onStand: () => void = () => undefined;
  pictures = 0;  // drawn so far

  private renderer: WebGLRenderer;
  private scene = new Scene();
  private shelf = new ShapeShelf();
  private placed: Placed[] = [];
  private stage = new Group();
  private ground = new Group();
  private look: Look = plainLook;
  private model: Model | null = null;
  private before: Model | null = null;
  private stoodBefore = new Map<string, Stood>();
  private stoodLast = new Map<string, Stood>();
  private led: BufferGeometry[] = [];
  private tones: Tones;
  private materials = new Map<string, Material>();
  private clip = new Plane(new Vector3(0, 1, 0), 0);
  private changed = new Set<string>();
  private changedTimer = 0;
  private frame = 0;
  private stop: (() => void)[] = [];

  constructor(readonly host: HTMLElement) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, powerPreference: 'low-power' });
    this.renderer.localClippingEnabled = true;
    const canvas = this.renderer.domElement;
    canvas.setAttribute('aria-hidden', 'true');
    host.prepend(canvas);
    this.tones = tones(host);
    const sun = new DirectionalLight(0xffffff, 2.1);
    sun.position.set(-0.45, -0.8, 1.2);
    this.scene.add(new AmbientLight(0xffffff, 1.55), sun, this.stage, this.ground);

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
    this.dropLed();
    this.shelf.clear();
    this.clearGround();
    this.materials.forEach((each) => each.dispose());
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.renderer.domElement.remove();
  }

  /// Shows another model. The standpoint stays, so that what grows is seen to grow; `fit` moves it.
  setModel(model: Model, options: { fit: boolean; markChanges: boolean }): void {
    const before = new Map(this.placed.map((each) => [each.key, each.shape]));
    this.dropLed();
    const bodies = this.shelf.take(model.shapes);
    this.stage.clear();
    this.placed = [];
    const add = (key: string, mark: string, member: string, body: ModelPiece | ModelPanel, solid: string) => {
      const shape = bodies.get(body.shape);
      if (!shape || !shape.faces.index?.count) return;
      const holder = new Group();
      holder.matrixAutoUpdate = false;
      holder.add(new Mesh(shape.faces), new Mesh(shape.faces), new LineSegments(shape.edges));
      holder.userData['key'] = key;
      const at = new Matrix4().fromArray(body.transform);
      shape.faces.computeBoundingBox();
      const centre = shape.faces.boundingBox!.getCenter(new Vector3()).applyMatrix4(at);
      this.placed.push({ key, mark, holder, at, centre, stage: body.stage ?? 0, member: solid || member, shape: body.shape });
      this.stage.add(holder);
    };
    for (const piece of model.pieces) add(keyOfPiece(piece), piece.mark, piece.member, piece, '');
    for (const panel of model.panels) add(keyOfPanel(panel), '', 'panel', panel, panel.solidity < 0.9 ? 'open panel' : 'panel');
    this.before = options.fit ? null : this.model;
    this.stoodBefore = this.stoodLast;
    this.stoodLast = new Map(this.placed.map((each) => [each.key, stoodIn(each.holder, each.shape, each.at)]));
    this.model = model;
    this.setGround(model);
    if (options.markChanges && before.size > 0) this.markChanged(before);
    if (options.fit) this.fit();
    this.dress();
    this.draw();
  }

  /// While a size is dragged: shows at once where it leads, until the next answer. `key` is "structure/size".
  leadTo(key: string, value: number): void {
    if (this.look.explode > 0) return;
    const steps = stepsPast(this.before, this.model, key, value);
    if (steps === null) return;
    this.dropLed();
    for (const each of this.placed) {
      const [before, last] = [this.stoodBefore.get(each.key), this.stoodLast.get(each.key)];
      if (before && last) this.led.push(...lead(each.holder, before, last, steps));
    }
    this.draw();
  }

  private dropLed(): void {
    this.led.forEach((each) => each.dispose());
    this.led = [];
  }

  setLook(look: Look): void {
    this.look = look;
    this.orbit.apart = look.explode;
    this.dress();
    this.draw();
  }

  fit(): void {
    if (!this.model) return;
    this.orbit.fit(this.model.bounds.min, this.model.bounds.max, fieldOfView, this.camera.aspect);
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
    return this.placed.map((each) => each.key);
  }

  private markChanged(before: Map<string, string>): void {
    const now = this.placed.filter((each) => before.get(each.key) !== each.shape).map((each) => each.key);
    if (now.length === 0) return;
    this.changed = new Set(now);
    clearTimeout(this.changedTimer);
    this.changedTimer = window.setTimeout(() => {
      this.changed = new Set();
      this.dress();
      this.draw();
    }, 1400);
  }

  private material(name: string, make: () => Material): Material {
    let found = this.materials.get(name);
    if (!found) this.materials.set(name, (found = make()));
    return found;
  }

  private face(member: string, state: 'plain' | 'selected' | 'fresh'): Material {
    const planes = this.look.cut > 0 ? [this.clip] : [];
    const made = this.material(`face ${member} ${state}`, () => {
      const open = member === 'open panel';
      const colour = new Color(open || member === 'panel' ? this.tones.panel : this.tones.timber);
      if (!open) colour.multiplyScalar(shadeOf(member));
      if (state !== 'plain') colour.lerp(new Color(this.tones.accent), state === 'selected' ? 0.62 : 0.4);
      return new MeshLambertMaterial({
        color: colour, flatShading: true, side: open ? DoubleSide : FrontSide, transparent: open, opacity: open ? 0.45 : 1,
        depthWrite: !open, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
      });
    });
    made.clippingPlanes = planes;
    return made;
  }

  private dress(): void {
    const { look } = this;
    this.placeCut();
    const cutting = look.cut > 0;
    const planes = cutting ? [this.clip] : [];
    const inside = this.material('inside', () => new MeshBasicMaterial({ color: this.tones.cut, side: BackSide }));
    const line = (name: string, colour: string) => {
      const made = this.material(name, () => new LineBasicMaterial({ color: colour }));
      made.clippingPlanes = planes;
      return made;
    };
    inside.clippingPlanes = planes;
    const ink = line('ink', this.tones.ink);
    const accent = line('accent', this.tones.accent);
    for (const each of this.placed) {
      const [face, back, edges] = each.holder.children as [Mesh, Mesh, LineSegments];
      each.holder.visible = look.shown ? look.shown(each.key) : true;
      const state = look.selected === each.key ? 'selected' : look.fresh?.(each.key) ? 'fresh' : 'plain';
      face.material = this.face(each.member, state);
      back.material = inside;
      back.visible = cutting && each.member !== 'open panel';
      edges.material = this.changed.has(each.key) || look.failing.has(each.mark) ? accent : ink;
      const moved = this.apart(each);
      each.holder.matrix.copy(each.at).premultiply(new Matrix4().makeTranslation(moved.x, moved.y, moved.z));
    }
  }

  private placeCut(): void {
    if (!this.model) return;
    const { min, max } = this.model.bounds;
    this.clip.constant = -(min[1] - 1 + this.look.cut * (max[1] - min[1]));
  }

  /// How far a body stands from its place: out from the middle, and up by the stage that brings it.
  private apart(each: Placed): Vector3 {
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

  private clearGround(): void {
    for (const each of this.ground.children) if (each instanceof Mesh || each instanceof LineSegments) each.geometry.dispose();
    this.ground.clear();
  }

  private setGround(model: Model): void {
    this.clearGround();
    const { min, max } = model.bounds;
    const reach = Math.ceil(Math.max(max[0] - min[0], max[1] - min[1]) / 1000 + 1) * 1000;
    const middle: Point = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, 0];
    const earth = new Mesh(new PlaneGeometry(reach, reach), this.material('earth', () =>
      new MeshBasicMaterial({ color: this.tones.ground, transparent: true, opacity: 0.35, side: DoubleSide, depthWrite: false })));
    earth.position.set(middle[0], middle[1], -1);
    const grid = new GridHelper(reach, reach / 500, this.tones.ink, this.tones.ink);
    grid.rotation.x = Math.PI / 2;
    grid.position.set(middle[0], middle[1], 0);
    const faint = grid.material as LineBasicMaterial;
    faint.transparent = true;
    faint.opacity = 0.09;
    faint.depthWrite = false;
    this.ground.add(earth, grid);
    const dashed = this.material('dashed', () => new LineDashedMaterial({ color: this.tones.ink, dashSize: 40, gapSize: 30, transparent: true, opacity: 0.6 }));
    for (const hole of model.footings) {
      const round = new CylinderGeometry(hole.diameter_mm / 2, hole.diameter_mm / 2, hole.depth_mm, 20, 1);
      const outline = new LineSegments(new EdgesGeometry(round, 30), dashed);
      round.dispose();
      outline.rotation.x = Math.PI / 2;
      outline.position.set(hole.centre[0], hole.centre[1], hole.centre[2] - hole.depth_mm / 2);
      outline.computeLineDistances();
      this.ground.add(outline);
    }
  }

  private recolour(): void {
    this.tones = tones(this.host);
    this.materials.forEach((each) => each.dispose());
    this.materials.clear();
    if (this.model) this.setGround(this.model);
    this.dress();
    this.draw();
  }

  private resize(): void {
    const { clientWidth: wide, clientHeight: high } = this.host;
    if (wide === 0 || high === 0) return;
    const before = this.camera.aspect;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(wide, high);
    this.camera.aspect = wide / high;
    if (Math.abs(before - this.camera.aspect) > 0.2) this.fit();
    this.draw();
  }

  private bodyAt(x: number, y: number): string | null {
    const frame = this.renderer.domElement.getBoundingClientRect();
    const at = new Vector2(((x - frame.left) / frame.width) * 2 - 1, 1 - ((y - frame.top) / frame.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(at, this.camera);
    const faces = this.placed.filter((each) => each.holder.visible).map((each) => each.holder.children[0]!);
    this.stage.updateMatrixWorld();
    const cut = this.look.cut > 0 ? this.clip : null;
    const hit = ray.intersectObjects(faces, false).find((each) => !cut || cut.distanceToPoint(each.point) >= 0);
    return (hit?.object.parent?.userData['key'] as string | undefined) ?? null;
  }

  /// Where a point of the garden is on the picture, in CSS pixels.
  project: Project = (at) => {
    const seen = new Vector3(...at).project(this.camera);
    return {
      x: ((seen.x + 1) / 2) * this.host.clientWidth, y: ((1 - seen.y) / 2) * this.host.clientHeight, behind: seen.z > 1,
    };
  };

  draw(): void {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.orbit.place(this.camera);
      this.renderer.render(this.scene, this.camera);
      this.pictures += 1;
      this.onDraw(this.project);
      if (this.model) performance.mark('picture');
    });
  }
}
