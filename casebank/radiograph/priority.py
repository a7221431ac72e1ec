"""Who is there where two solids overlap: the higher number."""

ROD = 100.0
PULP = 95.0
STUMP = 91.0  # dentine prepared for a crown
COPING = 89.0
CONNECTOR = 88.5
CROWN = 88.0
DENTINE = 70.0
ENAMEL = 60.0
LESION = 50.0
LIGAMENT = 40.0
LAMINA = 30.0
CAVITY = 27.0  # lumen of the nerve canal or the sinus; its wall comes next
CAVITY_WALL = 26.0
MARROW = 20.0
EROSION = 12.0  # cortex a lesion has taken away
RIDGE = 11.0
CORTEX = 10.0
SOFT = 1.0
