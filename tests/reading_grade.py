# Flesch-Kincaid grade (Kincaid et al. 1975) of each line of standard input, by
# the registry tool textstat.
import sys

import textstat

for line in sys.stdin:
    print(textstat.flesch_kincaid_grade(line.strip()))
