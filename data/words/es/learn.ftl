# Lo que dicen los registros de la granja frente a las tablas.
learn-title = Lo que dicen los registros de la granja
learn-offered-count = { $waiting ->
    [0] Nada espera su decisión; adoptado hasta ahora: { $taken }.
   *[other] { $waiting } cifras del libro se podrían cambiar: usted decide; adoptado hasta ahora: { $taken }.
}
learn-intro = Lo que usted anotó, junto a las cifras del libro. Solo usted cambia una cifra, salvo en un caso: tras { $tests } pruebas (valor nuestro), la mezcla usa la humedad y la densidad propias de un proveedor para los lotes sin prueba, y la hoja lo dice.
learn-moisture = Humedad por proveedor
learn-density = Densidad a granel por proveedor
learn-tests = pruebas
learn-own = propio { $unit }
learn-one-lot = un lote ±
learn-most-lots = 90 % de los lotes
learn-book = tabla
learn-in-use = en uso
learn-used = sí: { $origin }
learn-not-yet = aún no, hacen falta { $tests } pruebas
learn-origin = { $tests ->
    [one] { $tests } prueba de este proveedor
   *[other] { $tests } pruebas de este proveedor
}
learn-origin-drawn = { $own }, { $pct } % hacia la tabla
learn-moisture-note = La media de un proveedor, llevada hacia la tabla según lo seguro que es cada valor (media normal con previa normal: Gelman et al., Bayesian Data Analysis, de memoria, sin verificar). Un lote nuevo no es la media, así que varía más. Cuentan las pruebas de los últimos dos años. Un horno cuenta con 1 punto de error propio, un microondas o lo declarado en la recepción con 2, un apretón con más (todo valores nuestros).
learn-density-note = De cargas con volumen medido (--volume). El tomado del recipiente solo dice lo que cabe en él a ras.
learn-backtest = Probado con el pasado: en { $tests } pruebas posteriores, lo aprendido antes erró { $error } puntos de media, la tabla { $book_error }: { $than }. El { $covered } % quedó dentro del intervalo declarado del { $interval } % (± { $covered_error } para tantas).
learn-less-than-book = { $pct } % menos que la tabla
learn-no-better = no mejor que la tabla
learn-half = la mitad de ellas
learn-cohorts = cohortes

# Cuánto aguantan los materiales.
learn-keeping = Cuánto aguantan según lo echado a perder
learn-lots = lotes
learn-spoiled = perdidos
learn-a-quarter = un cuarto a los, días
learn-interval = intervalo 90 %
learn-book-days = tabla, días
learn-keeping-note = Un cuarto de los lotes, y 8 echados a perder al menos, son valores nuestros. Un lote dado, o sacado por otro motivo que discard --spoiled, solo dice que aguantó hasta entonces (Kaplan y Meier 1958, de memoria, sin verificar). Los lotes cerca de su fin se dan primero, y los perdidos se encuentran algo tarde: la cifra tira a largo.
keeping-too-few = { $spoiled } lotes echados a perder, hacen falta al menos { $needed }
keeping-no-end = demasiados lotes aguantan más que cualquier edad hallada

# Lo que recibieron las larvas.
learn-rations = Ración por fase
learn-got = recibió, mg al día
learn-asked = pedido, mg al día
learn-ration-note = Materia seca por larva, dividida por los días en bandejas para los que eran las comidas.
learn-left-out = { $stage }: { $count ->
    [one] { $count } cohorte queda fuera
   *[other] { $count } cohortes quedan fuera
}, con comida { $fed } de { $due } noches: muy pocas para decir lo que necesitan las larvas (valor nuestro: 4 de 5). Si comen por tandas, dé a las cohortes su plan: trayful cohort add ... --feeding every-3
learn-ration-total = En total { $got } mg por larva en { $days } días (mediana de { $cohorts }), donde las raciones piden { $due } mg.
learn-others-fed = otros dieron
learn-mg = mg por larva
learn-mg-a-day = mg al día
learn-with-result = qué, y con qué resultado
learn-studies-note = Las raciones incluidas suman 400 mg entre los días 5 y 14, como la primera de estas. Cómo se reparten por los días, y que duren diez días, es valor nuestro. Que larvas de tres a cuatro días lleguen a su tamaño en una semana a diez días, y que muchas granjas den de comer cada dos o tres días, es práctica común, sin fuente.

# La conversión propia junto a la publicada.
learn-conversion = Conversión, propia junto a publicada
learn-figure-unit = { $name }, { $unit }
learn-own-figure = propia
learn-published = publicado
learn-none-read = ninguna leída
learn-place = { $place ->
    [below] por debajo
    [above] por encima
   *[within] dentro
}
learn-published-by = { $name }: { $studies }.
learn-study = { $feed } { $low }-{ $high } ({ $boxes ->
    [unknown] n sin decir
   *[other] n = { $boxes }
})
learn-study-source = { $studies }: { $citation }; { $evidence }

# Lo que se puede tomar, y lo tomado.
learn-waiting = Esperan su palabra
learn-nothing-waits = Nada: ningún valor queda fuera de lo que dicen los registros.
learn-offer = { $what }: de { $from } a { $to } { $unit }; { $origin }.
learn-from-unknown = no se sabe
learn-to-take = Para tomarlo: trayful learn --take { $key }
learn-taken = Lo tomó { $who }: { $what } ({ $evidence }). Para volver: trayful strike r{ $record } --why MOTIVO
learn-keeps = { $stream } aguanta { $days } días
learn-ration-times = ración de { $stage } por { $times }
keeping-subject = tiempo que aguanta { $stream }
keeping-origin = { $share } % de los lotes perdidos para entonces; intervalo del { $chance } %: { $low } a { $high } días; { $spoiled } de { $lots } lotes echados a perder
keeping-origin-no-end = { $share } % de los lotes perdidos para entonces; intervalo del { $chance } %: desde { $low } días, sin fin visto; { $spoiled } de { $lots } lotes echados a perder
ration-subject = ración de { $stage }
ration-unit = mg de materia seca por larva y día
ration-origin = mediana de { $cohorts } cohortes, la mitad de ellas de { $low } a { $high }

# Qué mezclas funcionaron.
mixes-title = Qué mezclas funcionaron
mixes-caution = Lo que fue junto no es lo que lo causó: con la mezcla cambian la estación, el local, los huevos y las manos. Pruebe un cambio en una cohorte al lado de otra antes de creerlo.
mixes-left-out = { $count ->
    [one] { $count } cohorte queda fuera: una cifra que necesita no se tomó, o no puede ser
   *[other] { $count } cohortes quedan fuera: una cifra que necesitan no se tomó, o no puede ser
}. La página de cada cohorte dice cuál.
mixes-not-told = Aún no se puede decir qué mezclas funcionaron: { $why }.
mixes-few-cohorts = { $cohorts ->
    [one] { $cohorts } cohorte
   *[other] { $cohorts } cohortes
}, hacen falta al menos { $needed }
mixes-our-default = { $why } (valor nuestro)
mixes-nothing-differs = ninguna medida varía entre cohortes
mixes-same-result = el resultado es el mismo en todas las cohortes
mixes-all = Todas, la mejor primero
mixes-ends = Las mejores y las peores
mixes-tried = { $place } { $cohort }: { $mix }
mixes-part = { $stream } { $pct } %
mixes-traces = una traza de { $streams }
mixes-basis = La bioconversión es de materia seca, restado el peso inicial. El costo es el del mes de la última cosecha, como en trayful money.
mixes-told = { $cohorts } cohortes. Dicha a partir de las otras, la bioconversión de una cohorte yerra { $error } puntos, solo por la media { $mean_error }: { $verdict }.
mixes-tells = así que las medidas dicen algo
mixes-tells-nothing = así que humedad, proteína, grasa, fibra, ceniza y ración no dicen más que la media
mixes-swing = variación usual
mixes-points = puntos de bioconversión con ella
mixes-constant = la misma en todas
mixes-unknown = no se sabe en la mayoría
mixes-method = Regresión de cresta sobre medidas estandarizadas (Hoerl y Kennard 1970, de memoria, sin verificar), con penalización { $penalty } dejando una fuera. Una variación es una desviación típica. { $left_out ->
    [one] { $left_out } cohorte queda
   *[other] { $left_out } cohortes quedan
} fuera por falta de una medida.
mixes-measure = { $measure ->
    [moisture] humedad
    [protein] proteína
    [fat] grasa
    [fibre] fibra
    [ash] ceniza
   *[ration] ración
}
mixes-measure-unit = { $measure ->
    [moisture] % tal como se da
    [ration] mg de materia seca por larva en total
   *[protein] % de la materia seca
}
