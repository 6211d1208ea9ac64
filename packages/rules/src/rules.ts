export { type CardToJudge, fitText, judgeCard, judgeEach, likelyTimeline, rateFits } from "./card.ts";
export { type CaseRow, caseTable } from "./cases.ts";
export { explain, type Explanation } from "./explain.ts";
export { judgeClip, type JudgeContext, verdictOf } from "./judge.ts";
export { cardRules, clipRules, rules, useRules } from "./rule-list.ts";
export type { DocumentedLimit, Example, PossibleUse, Rule, Scope } from "./rule.ts";
export { settings, worthwhileRates, nextFlight } from "./settings.ts";
export { settledFacts } from "./settle.ts";
export { cadenceText, flyingCaution } from "./words.ts";
