import {
  Box3,
  ColorManagement,
  DirectionalLight,
  HemisphereLight,
  LinearSRGBColorSpace,
  Mesh,
  type Object3D,
  PerspectiveCamera,
  Raycaster,
  Scene,
  Sphere,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';
import type { SceneContent, SceneMark } from './content.js';
import { bodyObject, partGeometry, release, vesselObject } from './objects.js';
import { type PartLook, PartMaterial } from './part-material.js';

export type Focus = 'part' | 'set-up';

export interface Palette {
  ink: string;
  liquid: string;
}

export interface SceneEvents {
  /** Where the marks are on the canvas [CSS px]; hidden ones are behind metal. */
  marks?(at: { letter: string; x: number; y: number; hidden: boolean }[]): void;
}

// Colours go to the screen as given: the map's colours are made in screen values.
ColorManagement.enabled = false;

/** Below this angle from the vertical the eye does not go, so that up stays up. */
const POLE = 0.08;
const FIELD_OF_VIEW = 28;
/** A still picture is drawn with this many points across a pixel, this long after the last change [ms]. */
const FINE = 2;
const REST = 160;

/**
 * The part and its set-up in three dimensions, drawn only when something changed. Knows nothing of jobs or React: it is
 * fed arrays, told what to show, and asked to `dispose`.
 */
export class BenchScene {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(FIELD_OF_VIEW, 1, 1e-4, 10);
  private readonly material = new PartMaterial();
  private readonly target = new Vector3();
  private azimuth = 0.7;
  private polar = 1.1;
  private distance = 0.2;
  private focus: Focus = 'set-up';
  private part: Mesh | undefined;
  private bodies: Object3D[] = [];
  private vessel: Object3D | undefined;
  private content: SceneContent = { bodies: [] };
  private marked: SceneMark[] = [];
  private palette: Palette;
  private due = 0;
  private settled: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly canvas: HTMLCanvasElement,
    palette: Palette,
    private readonly events: SceneEvents = {},
  ) {
    this.palette = palette;
    this.renderer = new WebGLRenderer({ canvas, antialias: false, alpha: true });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.camera.up.set(0, 0, 1);
    const key = new DirectionalLight(0xffffff, 1.1);
    key.position.set(-0.5, -0.8, 1.2);
    this.scene.add(new HemisphereLight(0xffffff, 0xb8bdb9, 2.4), key);
    this.resize();
  }

  /** Replaces what stands in the scene; the view stays unless `focus` finds nothing it knew. */
  show(content: SceneContent): void {
    const first = !this.part;
    this.clear();
    this.content = content;
    if (content.part) {
      this.part = new Mesh(partGeometry(content.part), this.material);
      this.scene.add(this.part);
    }
    this.bodies = content.bodies.map(bodyObject);
    for (const body of this.bodies) this.scene.add(body);
    this.buildVessel();
    if (first) this.frame();
    this.aim();
    this.request();
  }

  colourBy(look: PartLook): void {
    this.material.look(look);
    this.request();
  }

  marks(marks: SceneMark[]): void {
    this.marked = marks;
    this.request();
  }

  /** Looks at the part alone, or at everything in the vessel. */
  lookAt(focus: Focus): void {
    this.focus = focus;
    this.frame();
    this.request();
  }

  repaint(palette: Palette): void {
    this.palette = palette;
    this.buildVessel();
    this.aim();
    this.request();
  }

  /** Turns the eye by angles [rad]: to the right, and up. */
  turn(right: number, up: number): void {
    this.azimuth += right;
    this.polar = Math.min(Math.PI - POLE, Math.max(POLE, this.polar - up));
    this.request();
  }

  /** Goes closer (factor below 1) or further away. */
  zoom(factor: number): void {
    this.distance = Math.min(5, Math.max(2e-3, this.distance * factor));
    this.request();
  }

  reset(): void {
    this.azimuth = 0.7;
    this.polar = 1.1;
    this.frame();
    this.request();
  }

  resize(): void {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    this.setDensity(1, Math.max(1, width), Math.max(1, height));
    this.camera.aspect = Math.max(1, width) / Math.max(1, height);
    this.camera.updateProjectionMatrix();
    this.request();
  }

  /** Thickness [m] of the deposit under a point of the canvas [CSS px]; undefined beside the part. */
  probe(x: number, y: number): { thickness: number; position: [number, number, number] } | undefined {
    const { part, thickness } = { part: this.part, thickness: this.content.part?.thickness };
    if (!part || !thickness) return undefined;
    const point = new Vector2((x / this.canvas.clientWidth) * 2 - 1, 1 - (y / this.canvas.clientHeight) * 2);
    const caster = new Raycaster();
    caster.setFromCamera(point, this.camera);
    const hit = caster.intersectObject(part)[0];
    if (!hit?.face || !hit.barycoord) return undefined;
    const field = part.geometry.getAttribute('thickness');
    const { a, b, c } = hit.face;
    const w = hit.barycoord;
    return {
      thickness: field.getX(a) * w.x + field.getX(b) * w.y + field.getX(c) * w.z,
      position: hit.point.toArray(),
    };
  }

  dispose(): void {
    cancelAnimationFrame(this.due);
    clearTimeout(this.settled);
    this.clear();
    this.material.dispose();
    this.renderer.dispose();
  }

  /** Draws now; for measuring the frame rate. */
  draw(): void {
    const { azimuth, polar, distance, target, camera } = this;
    camera.position.set(
      target.x + distance * Math.sin(polar) * Math.sin(azimuth),
      target.y - distance * Math.sin(polar) * Math.cos(azimuth),
      target.z + distance * Math.cos(polar),
    );
    camera.near = distance / 200;
    camera.far = distance * 20;
    camera.lookAt(target);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    this.renderer.render(this.scene, camera);
    this.placeMarks();
  }

  /** Draws at the next frame, plainly while things move; a moment after the last change once more, finely. */
  private request(): void {
    cancelAnimationFrame(this.due);
    clearTimeout(this.settled);
    this.due = requestAnimationFrame(() => {
      this.setDensity(1);
      this.draw();
      this.settled = setTimeout(() => {
        this.setDensity(FINE);
        this.draw();
      }, REST);
    });
  }

  /** Picture points a CSS pixel, times the screen's own. Softens edges without multisampling, which software pays dearly. */
  private setDensity(
    factor: number,
    width = this.canvas.clientWidth,
    height = this.canvas.clientHeight,
  ): void {
    const density = Math.min(3, factor * Math.min(2, window.devicePixelRatio || 1));
    if (width < 1 || height < 1) return;
    if (this.renderer.getPixelRatio() !== density) this.renderer.setPixelRatio(density);
    const wide = Math.floor(width * density) !== this.canvas.width;
    if (wide || Math.floor(height * density) !== this.canvas.height)
      this.renderer.setSize(width, height, false);
    this.material.uniforms.density!.value = density;
  }

  private clear(): void {
    if (this.part) {
      this.part.geometry.dispose();
      this.part.removeFromParent();
      this.part = undefined;
    }
    for (const body of this.bodies) release(body);
    this.bodies = [];
    if (this.vessel) release(this.vessel);
    this.vessel = undefined;
  }

  private buildVessel(): void {
    if (this.vessel) release(this.vessel);
    this.vessel = undefined;
    const { vessel } = this.content;
    if (!vessel) return;
    this.vessel = vesselObject(vessel, this.palette.ink, this.palette.liquid);
    this.scene.add(this.vessel);
  }

  /** Shows what belongs to the focus. */
  private aim(): void {
    const all = this.focus === 'set-up';
    for (const body of this.bodies) body.visible = all;
    if (this.vessel) this.vessel.visible = all;
  }

  /** Puts the eye where the focus fills the picture. */
  private frame(): void {
    this.aim();
    const box = new Box3();
    if (this.focus === 'part' && this.part) box.setFromObject(this.part);
    else
      for (const object of [this.part, this.vessel, ...this.bodies]) if (object) box.expandByObject(object);
    if (box.isEmpty()) return;
    const sphere = box.getBoundingSphere(new Sphere());
    this.target.copy(sphere.center);
    const half = (FIELD_OF_VIEW * Math.PI) / 360;
    const narrow = Math.min(half, Math.atan(Math.tan(half) * this.camera.aspect));
    this.distance = (sphere.radius * 1.06) / Math.sin(narrow);
  }

  private placeMarks(): void {
    if (!this.events.marks) return;
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const caster = new Raycaster();
    this.events.marks(
      this.marked.map(({ letter, position }) => {
        const at = new Vector3(...position);
        const seen = at.clone().project(this.camera);
        caster.set(this.camera.position, at.clone().sub(this.camera.position).normalize());
        const hit = this.part && caster.intersectObject(this.part)[0];
        const range = at.distanceTo(this.camera.position);
        return {
          letter,
          x: ((seen.x + 1) / 2) * width,
          y: ((1 - seen.y) / 2) * height,
          hidden: hit !== undefined && hit.distance < range * 0.985,
        };
      }),
    );
  }
}
