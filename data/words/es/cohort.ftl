# Larvas en sus bandejas.
cohort-added = Cohorte { $cohort } en { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
}: { $larvae } larvas, eclosión el { $day }
cohort-ended = Cohorte { $cohort } acabada: { $why }
cohorts-title = Cohortes, noche del { $night }
cohorts-count = { $cohorts ->
    [one] { $cohorts } cohorte
   *[other] { $cohorts } cohortes
} en { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
}
cohorts-none = No hay larvas en bandejas.
cohorts-next = Ahora: trayful cohort add NOMBRE --hatched DÍA --larvae N --trays N --tray-area 60x40cm
cohort-day = día
cohort-stage = fase
cohort-larvae = larvas
cohort-trays = bandejas
cohort-per-cm2 = larvas por cm²
cohort-fed = se le da
cohort-not-fed = no se le da
cohort-daily = cada día
cohort-once = una vez
cohort-every = cada { $nights } noches
cohort-tonight = { $plan }, esta noche
cohort-next-night = { $plan }, la próxima el { $night }
cohort-no-more = ya no

# Una cosecha, como se anota.
harvest-title = Cohorte { $cohort }: { $larvae } de larvas
harvest-last = La cohorte { $cohort } ya no está en sus bandejas.
harvest-residue-back = Lo que quedó cuenta como devuelto a las bandejas. Péselo con una parte posterior de la cosecha.
harvest-no-count = Sin recuento no se sabe la supervivencia ni el peso inicial. La próxima vez: --sample 100=15.2 (cien larvas y sus gramos).
harvest-next = Qué hizo con su comida: trayful harvest r{ $cohort }. Para anularlo: trayful strike r{ $seq } --why MOTIVO
harvest-next-last = Qué hizo con su comida: trayful harvest r{ $cohort }. Para anularlo: trayful strike r{ $seq } --why MOTIVO (y r{ $end }, que acabó la cohorte)

# Las etapas de nuestra tabla; las de la granja, como ella las llama.
stage-called = { $what ->
    [young] jóvenes
    [growing] crecimiento
    [last-feeds] últimas comidas
    [nursery] cría
    [grower] engorde
    [finisher] acabado
   *[other] { $what }
}
