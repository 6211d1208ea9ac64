import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";

/** Prints what one rule looks at, or the list of all rules. */
export async function explain(id: string | undefined, io: Io): Promise<number> {
  const { explainRule, ruleList } = await import("@goodgate/rules");
  if (id === undefined) {
    const longest = Math.max(...ruleList.map((rule) => rule.id.length));
    for (const rule of ruleList) io.print(`${rule.id.padEnd(longest)}  ${rule.title}\n`);
    io.print("\ngoodgate explain <rule> says what one of them looks at, its limit, why, and the remedy.\n");
    return exitCodes.good;
  }
  const rule = ruleList.find((candidate) => candidate.id === id);
  if (rule === undefined) {
    const near = ruleList
      .filter((candidate) => candidate.id.includes(id) || id.includes(candidate.id))
      .map((each) => each.id);
    throw new CommandError(
      `no rule ${id}: ${near.length > 0 ? `did you mean ${near.join(", ")}?` : "goodgate explain lists them"}`,
    );
  }
  io.print(explainRule(rule, io.columns));
  return exitCodes.good;
}
