// The part goodgate uses of a package that comes without types.
declare module "ffprobe-static" {
  const bundled: { readonly path: string };
  export default bundled;
}
