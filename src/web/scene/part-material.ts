import { Color, DataTexture, DoubleSide, NearestFilter, RGBAFormat, ShaderMaterial } from 'three';
import { ramp } from '../../job/index.js';

/** How the surface of the part is shown. Lengths in metres. */
export interface PartLook {
  /** Number of thickness bands and the width of one; zero bands shows bare metal. */
  bands: number;
  step: number;
  /** Thickness where the first band begins. */
  start: number;
  /** Thickness asked for; zero draws no contour. */
  required: number;
}

const VERTEX = /* glsl */ `
attribute float thickness;
attribute float bare;
attribute float burnt;
attribute float significant;
varying float vThickness;
varying float vBare;
varying float vBurnt;
varying float vSignificant;
varying vec3 vNormal;
void main() {
  vThickness = thickness;
  vBare = bare;
  vBurnt = burnt;
  vSignificant = significant;
  vNormal = normalize(normalMatrix * normal);
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;

/** Bands by nearest texel, a contour where the requirement is met, patterns in screen space for bare and burnt. */
const FRAGMENT = /* glsl */ `
uniform sampler2D ramp;
uniform float bands;
uniform float stepSize;
uniform float start;
uniform float required;
uniform float density;
uniform vec3 metal;
uniform vec3 ink;
varying float vThickness;
varying float vBare;
varying float vBurnt;
varying float vSignificant;
varying vec3 vNormal;
void main() {
  vec3 n = normalize(vNormal);
  if (!gl_FrontFacing) n = -n;
  float light = 0.80 + 0.20 * max(0.0, dot(n, normalize(vec3(-0.45, 0.62, 0.64))));
  vec3 colour = metal;
  if (bands > 0.5) {
    float band = clamp(floor((vThickness - start) / stepSize), 0.0, bands - 1.0);
    colour = texture2D(ramp, vec2((band + 0.5) / bands, 0.5)).rgb;
    colour = mix(mix(vec3(dot(colour, vec3(0.33))), metal, 0.6), colour, step(0.5, vSignificant));
  }
  colour *= light;
  if (bands > 0.5) {
    vec2 pixel = gl_FragCoord.xy / density;
    float width = fwidth(vThickness);
    if (required > 0.0 && abs(vThickness - required) < width * 1.1 * density) colour = ink;
    if (vBurnt > 0.5) {
      float a = abs(mod(pixel.x + pixel.y, 9.0) - 4.5);
      float b = abs(mod(pixel.x - pixel.y, 9.0) - 4.5);
      float line = min(a, b);
      colour = mix(colour, vec3(1.0), 1.0 - step(1.7, line));
      colour = mix(colour, ink, 1.0 - step(0.9, line));
    } else if (vBare > 0.5) {
      vec2 cell = mod(pixel, 7.0) - 3.5;
      colour = mix(colour, ink, 1.0 - step(1.7, length(cell)));
    }
  }
  gl_FragColor = vec4(colour, 1.0);
}`;

export class PartMaterial extends ShaderMaterial {
  private texture: DataTexture | undefined;

  constructor() {
    super({
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      side: DoubleSide,
      uniforms: {
        ramp: { value: null },
        bands: { value: 0 },
        stepSize: { value: 1 },
        start: { value: 0 },
        required: { value: 0 },
        density: { value: 1 },
        metal: { value: new Color() },
        ink: { value: new Color() },
      },
    });
    // Colours go to the screen as they are: the ramp is made in screen values.
    this.uniforms.metal!.value.setRGB(0.78, 0.8, 0.79);
    this.uniforms.ink!.value.setRGB(0.08, 0.11, 0.1);
  }

  look({ bands, step, start, required }: PartLook): void {
    this.uniforms.bands!.value = bands;
    this.uniforms.stepSize!.value = step;
    this.uniforms.start!.value = start;
    this.uniforms.required!.value = required;
    if (bands === 0) return;
    this.texture?.dispose();
    const data = new Uint8Array(4 * bands);
    for (let i = 0; i < bands; i++) {
      const rgb = ramp(bands === 1 ? 0.5 : i / (bands - 1));
      data.set([...rgb.map((u) => Math.round(u * 255)), 255], 4 * i);
    }
    this.texture = new DataTexture(data, bands, 1, RGBAFormat);
    this.texture.magFilter = NearestFilter;
    this.texture.minFilter = NearestFilter;
    this.texture.needsUpdate = true;
    this.uniforms.ramp!.value = this.texture;
  }

  override dispose(): void {
    this.texture?.dispose();
    super.dispose();
  }
}
