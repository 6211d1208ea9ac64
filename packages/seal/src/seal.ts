export { type CardCopy, copyCard, type CopyResult } from "./copy-card.ts";
export { hashFile } from "./hash-file.ts";
export { checksumList, isUtf8Name, ManifestError, parseChecksumList } from "./manifest.ts";
export {
  type CardSeal,
  checkSeal,
  type Progress,
  type SealCheck,
  sealCard,
  sealFiles,
  type Unsealed,
} from "./seal-card.ts";
