/**
 * Smooth edges for drawings in full: they are drawn in several samples to a dot, beside the canvas, and then laid onto
 * it. The canvas itself has one sample, so that a quick drawing costs half as much.
 */

import {
  BufferAttribute, BufferGeometry, GLSL3, Mesh, NoBlending, OrthographicCamera, Scene, ShaderMaterial, WebGLRenderTarget,
} from "../vendor/three/three.module.js";

const SAMPLES = 4;
const VERTEX = "void main() { gl_Position = vec4(position, 1.0); }";
const FRAGMENT = /* glsl */ `
uniform sampler2D uDrawn;
out vec4 outColour;
void main() { outColour = texelFetch(uDrawn, ivec2(gl_FragCoord.xy), 0); }`;

export class Smooth {
  constructor() {
    this.target = new WebGLRenderTarget(1, 1, { samples: SAMPLES });
    this.look = new ShaderMaterial({
      glslVersion: GLSL3, vertexShader: VERTEX, fragmentShader: FRAGMENT, uniforms: { uDrawn: { value: this.target.texture } },
      blending: NoBlending, depthTest: false, depthWrite: false,
    });
    // One triangle that covers the whole canvas.
    const corners = new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]);
    const geometry = new BufferGeometry().setAttribute("position", new BufferAttribute(corners, 3));
    const mesh = new Mesh(geometry, this.look);
    mesh.frustumCulled = false;
    this.stage = new Scene().add(mesh);
    this.camera = new OrthographicCamera();
  }

  /** Draws a stage onto the renderer's canvas. Returns how many triangles it had. */
  draw(renderer, stage, camera) {
    const { width, height } = renderer.domElement;
    if (width !== this.target.width || height !== this.target.height) this.target.setSize(width, height);
    renderer.setRenderTarget(this.target);
    renderer.render(stage, camera);
    const { triangles } = renderer.info.render;
    renderer.setRenderTarget(null);
    renderer.render(this.stage, this.camera);
    return triangles;
  }

  dispose() {
    this.target.dispose();
    this.look.dispose();
  }
}
