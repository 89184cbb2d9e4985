"""What is left on at each edge until it is fitted."""

from tui.steps.step import Step, prompts

STEP = Step(
    name="filing",
    order=120,
    title="Filing",
    intro="What is left on at each edge until it is fitted: roof and relief before the bit, the bit before the flanks.",
    prompts=prompts(
        "filing.guide_floors",
        "filing.legs",
        "filing.lower_edge",
        "filing.relief",
        "filing.bit_tip",
        "filing.bit_faces",
        "filing.flanks",
        "filing.nose_tip",
    ),
    parts=("bolt", "key"),
    view="tooth",
    caution="Filing: clamp the work, wear eye protection, and brush filings away, never blow them.",
)
