"""The cautions that stand at the end of every report, and in every help on a step."""

CAUTIONS = (
    "Clamp the work and wear eye protection when drilling, filing, grinding or riveting; springs under load "
    "and hot metal hurt; keep lead and brass dust out of lungs and food. Follow your local codes and ask a "
    "licensed practitioner where they ask for one. For locks of your own property; no security rating is claimed."
)
