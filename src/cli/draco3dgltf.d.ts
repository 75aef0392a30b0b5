/** The package has no types of its own; the one entry used here. */
declare module 'draco3dgltf' {
  const draco: { createDecoderModule(options: object): Promise<unknown> };
  export default draco;
}
