# Por qué la mezcla es como es.
why-title = Por qué esta mezcla
why-before-buckets = De la mezcla antes de pasarla a cubos enteros:
why-not-all = No todo se pudo explicar: { $reason }.
why-stock-only = Solo lo que hay limita esta mezcla.
unsolved = { $why ->
    [infeasible] ningún punto cumple todas las filas
    [unbounded] la meta puede mejorar sin fin
   *[other] ningún motor dio un resultado que se pudiera comprobar: { $why }
}
why-binds = { $demand }: { $more ->
    [feed] 1 { $unit } más de materia seca
    [looser] un punto más de holgura
   *[some] 1 { $unit } más
} { $effects }
why-effect = { $goal ->
    [short] deja { $by } puntos { $more } de lo pedido sin dar
    [outside] pone la mezcla { $by } { $more } fuera de sus márgenes
    [water_kg] añade { $by } { $unit } { $more } de agua
    [unsure] deja { $by } desviaciones estándar { $more } por debajo de lo seguro
    [urgent_kg] usa { $by } { $unit } { $more } de lo que pronto se estropea
    [cost] cuesta { $by } { $more }
   *[change_kg] se aparta { $by } { $unit } { $more } de la mezcla anterior
}
why-more = { $less ->
    [true] menos
   *[false] más
}
why-leaves-to-spoil = deja { $by } { $unit } más que se estropean
why-or-more = { $low } o más (sin fin por un lado)
why-or-less = { $high } o menos (sin fin por un lado)
why-any-amount = cualquier cantidad
why-any = cualquiera
why-near = el lote { $lots } no se usa; se usaría { $way }
why-near-price = con un precio de menos de { $price } por { $unit }
why-near-moisture = con { $pct } % de humedad
why-either = { $one }, o { $other }
why-not-near = el lote { $lots } no se usa; ni su precio ni su humedad (dentro de { $points } puntos) lo cambiarían
why-is = está
why-one-more = 1 { $unit } más
why-used = { $used ->
    [up] usado entero
    [partly] usado en parte
   *[not] sin usar
}
why-lot-in-use = lote en uso
why-best-at = sigue siendo el mejor a un precio por { $unit } de
why-any-price = el precio no importa
why-drier = los mismos lotes si es más seco en
why-wetter = los mismos lotes si es más húmedo en
why-step-until = { $same }, no { $changes } puntos
why-step-any = { $same } puntos y más
why-points = { $number ->
    [one] { $number } punto
   *[other] { $number } puntos
}
