"""Rain: what a tip holds, rates and their classes."""

# funnel [cm²], tip [mL], mm per tip. The first read in a description of the Cardington gauge (CEDA); the
# others computed: ten times the volume over the area.
TIPS = [
    (750.0, 15.0, 0.2),
    (200.0, 4.0, 0.2),
    (400.0, 8.0, 0.2),
    (200.0, 10.0, 0.5),
    (314.159, 6.283, 0.2),
    (324.293, 8.237, 0.254),
    (95.033, 2.0, 0.21045),
]

# mm/h, class: WMO-No. 8 present-weather annex (from memory; the same limits read second-hand).
CLASSES = [(2.4, "light"), (2.5, "moderate"), (10.0, "heavy"), (50.0, "violent")]

# Duchon et al. (2014), J. Atmos. Oceanic Technol., abstract (read): a 0.2 mm tip every 7.2 s is 100 mm/h.
FAST_TIPS = (0.2, 7.2, 100.0)
