# Palabras del registro de campos como las dice la gente: palabras de listas, campos, clases de registros, partes de una planta.
registry-word-phone = teléfono
registry-word-email = correo electrónico
registry-word-clinic_table = mesa de consultas
registry-word-yard = en el jardín
registry-word-letter = carta
registry-word-school = escuela
registry-word-en = inglés
registry-word-es = español
registry-word-other = otro
registry-word-save_it = espera salvar la planta
registry-word-know_it_is_safe = quiere saber si hace daño
registry-word-replace_it = piensa reemplazar la planta
registry-word-eat_it = espera comer de ella
registry-word-stop_it_spreading = quiere que no se extienda
registry-word-know = quiere saber qué es
registry-word-today = hoy
registry-word-this_week = esta semana
registry-word-ordinary = sin prisa
registry-word-yes = sí
registry-word-unsure = no se sabe
registry-word-no = no
registry-word-open = abierta
registry-word-waiting = en espera
registry-word-answered = contestada
registry-word-closed = cerrada
registry-word-recovered = se recuperó
registry-word-same = sigue igual
registry-word-worse = está peor
registry-word-removed = se quitó
registry-word-unknown = no se sabe
registry-word-photo = foto
registry-word-pin = un punto puesto a mano
registry-word-map = mapa
registry-word-survey = levantamiento
registry-word-none = nada
registry-word-home_yard = jardín de casa
registry-word-street = calle
registry-word-park = parque
registry-word-allotment = huerto comunitario
registry-word-farm = finca
registry-word-business = negocio
registry-word-dog = perro
registry-word-wire = cable
registry-word-slope = pendiente
registry-word-traffic = tránsito
registry-word-well = pozo
registry-word-under_1_m = menos de 3 pies
registry-word-1_to_3_m = de 3 a 10 pies
registry-word-3_to_10_m = de 10 a 33 pies
registry-word-over_10_m = más de 33 pies
registry-word-balled = con cepellón
registry-word-container = en maceta
registry-word-bare_root = a raíz desnuda
registry-word-seed = semilla
registry-word-bulb = bulbo
registry-word-seen = se vio
registry-word-absent = se miró, no está
registry-word-could_not_tell = no se pudo saber
registry-word-not_looked = no se miró
registry-word-glance = a simple vista
registry-word-touch = al tacto
registry-word-lens = con lupa
registry-word-knife = con navaja
registry-word-dig = con una palita
registry-word-laboratory = laboratorio
registry-word-told = según se contó
registry-word-whole = planta entera, con el suelo
registry-word-boundary = borde entre lo enfermo y lo sano
registry-word-close_up = de cerca
registry-word-underside = el envés
registry-word-trunk_base = el tallo hasta el suelo
registry-word-other_side = el otro lado
registry-word-healthy = algo sano
registry-word-site = el lugar
registry-word-ruler_card = tarjeta con regla
registry-word-coin = moneda
registry-word-hand = mano
registry-word-true = norte verdadero
registry-word-magnetic = norte magnético
registry-word-primary = causa principal
registry-word-stress_triggered = sigue a un estrés
registry-word-secondary = sigue a otro daño
registry-word-environment = lugar, clima o personas
registry-word-harmless = inofensiva
registry-word-field = visto en el campo
registry-word-photo_only = solo por fotos
registry-word-presumptive = presuntivo
registry-word-reviewed = revisado
registry-word-authority = de la autoridad
registry-word-withdrawn = retirado
registry-word-spoken = de palabra
registry-word-print = impreso
registry-word-low_confidence = la respuesta no era segura
registry-word-high_consequence = depende mucho de ello
registry-word-pesticide = se nombró un pesticida
registry-word-food = es una planta de comer
registry-word-stop = se dio un alto
registry-word-first_report = es el primero de esta temporada
registry-word-random = por sorteo
registry-word-almost_no_chance = casi imposible
registry-word-very_unlikely = muy poco probable
registry-word-unlikely = poco probable
registry-word-about_even = puede que sí, puede que no
registry-word-likely = probable
registry-word-very_likely = muy probable
registry-word-nearly_certain = casi seguro
registry-word-field_visit = visita de campo
registry-word-training = capacitación
registry-word-travel = viaje
## Campos
registry-field-opened = apertura
registry-field-channel = cómo llegó
registry-field-taken_by = quién la recibió
registry-field-language = idioma
registry-field-question = palabras de la persona
registry-field-wish = deseo
registry-field-urgency = urgencia
registry-field-stops = altos
registry-field-consent = lo que se aceptó
registry-field-status = estado
registry-field-closed = cierre
registry-field-outcome = resultado
registry-field-contact = quién preguntó
registry-field-site = lugar
registry-field-summary = línea breve
registry-field-asked = preguntas de seguridad
registry-field-stops_read = altos que se leyeron
registry-field-shots_skipped = tomas que se saltaron
registry-field-held = quién la tiene
registry-field-reach = nombre y modos de comunicarse
registry-field-minor = preguntó un menor
registry-field-expires = fin del plazo
registry-field-note = nota
registry-field-address = dirección
registry-field-point = punto
registry-field-elevation_m = altura sobre el mar
registry-field-land_use = uso del terreno
registry-field-county = condado
registry-field-township = municipio
registry-field-cell = zona aproximada
registry-field-access = entrada
registry-field-hazards = de qué cuidarse
registry-field-visit = visita
registry-field-probe_depth_cm = profundidad de la sonda, cm
registry-field-ph = pH del suelo
registry-field-drain_cm_per_h = drenaje, cm por hora
registry-field-watering = riego
registry-field-works = obras
registry-field-weather_station = estación del tiempo
registry-field-winter_low_c = mínima del invierno, °C
registry-field-host = clase de planta
registry-field-scientific_name = nombre científico
registry-field-cultivar = cultivar
registry-field-host_comfort = seguridad sobre la clase
registry-field-affected = cuántas lo muestran
registry-field-present = cuántas hay
registry-field-trunk = tronco
registry-field-height = altura
registry-field-planted = plantación
registry-field-stock = cómo se vendió
registry-field-tag = etiqueta
registry-field-inquiry = consulta
registry-field-edible = para comer
registry-field-start = comienzo
registry-field-end = final
registry-field-observer = quién miró
registry-field-protocol = protocolo
registry-field-minutes = minutos
registry-field-plants_looked_at = plantas miradas
registry-field-app_version = versión de la aplicación
registry-field-pack_version = paquete de contenido
registry-field-clock_checked = reloj comprobado
registry-field-plant = planta
registry-field-character = lo que se miró
registry-field-state = lo que se encontró
registry-field-comfort = seguridad
registry-field-method = cómo se miró
registry-field-count = cuenta
registry-field-percent = parte de 100
registry-field-part = en qué parte de la planta
registry-field-photos = fotos
registry-field-at = cuándo
registry-field-image = imagen
registry-field-thumbnail = imagen pequeña
registry-field-taken = cuándo se tomó
registry-field-scale = escala
registry-field-bearing = dirección de la cámara
registry-field-place = sitio
registry-field-size = tamaño
registry-field-orientation = orientación
registry-field-region = región
registry-field-mime = tipo de archivo
registry-field-people_checked = revisada por caras y números
registry-field-caption = pie de foto
registry-field-order = lugar en el orden
registry-field-plant_part = parte de la planta
registry-field-pieces = piezas
registry-field-seal = sello
registry-field-kept_cool = en frío
registry-field-accession = número del laboratorio
registry-field-result = resultado
registry-field-result_date = día del resultado
registry-field-result_method = método del laboratorio
registry-field-disposal = qué se hizo de ella
registry-field-sample = muestra
registry-field-from = de
registry-field-to = a
registry-field-condition = estado
registry-field-causes = causas
registry-field-basis = en qué se basa
registry-field-reasons = razones
registry-field-by = por
registry-field-supersedes = la respuesta que reemplaza
registry-field-diagnosis = diagnóstico
registry-field-blocks = texto del paquete
registry-field-text = palabras
registry-field-cautions = precauciones
registry-field-label_shown = se mostró que la etiqueta es la ley
registry-field-given = cuándo se dio
registry-field-how = cómo se dio
registry-field-read_back = repetido por la persona
registry-field-due = día de preguntar
registry-field-answer = respuesta
registry-field-action = lo que se hizo
registry-field-answered = día de la respuesta
registry-field-reviewer = quién revisó
registry-field-blind = respuesta propia, antes de ver otra
registry-field-agrees = ambos dicen lo mismo
registry-field-correction = corrección
registry-field-reason = por qué se revisó
registry-field-suspect = sospecha
registry-field-notified = a quién se avisó
registry-field-reference = referencia
registry-field-hold = orden de retención
registry-field-released = liberación
registry-field-person = persona
registry-field-date = día
registry-field-activity = actividad
registry-field-hours = horas
registry-field-cases = casos
registry-field-photo-part = lo que muestra
## Partes de un valor
registry-consent-visit = una visita
registry-consent-cut = cortar un pedazo
registry-consent-photo = fotos
registry-consent-count = ser contada
registry-consent-contact_back = que se le llame de nuevo
registry-group-by = dada a
registry-group-waiting_on = espera
registry-group-due = para el
registry-group-diameter_cm = diámetro, cm
registry-group-at_height_cm = a una altura de, cm
registry-group-width_px = ancho, píxeles
registry-group-height_px = alto, píxeles
registry-group-id = texto
registry-group-version = versión
registry-group-x = desde la izquierda
registry-group-y = desde arriba
registry-group-width = ancho
registry-group-height = alto
registry-yes = sí
registry-no = no
registry-nothing = nada
## Partes de una planta
registry-part-site = Lugar
registry-part-whole_plant = Planta entera
registry-part-root_flare = Cuello de la raíz
registry-part-trunk = Tronco
registry-part-branch = Rama
registry-part-twig = Ramita
registry-part-bud = Yema
registry-part-leaf = Hoja
registry-part-flower = Flor
registry-part-fruit = Fruto
registry-part-root = Raíz
registry-part-lawn = Césped
registry-part-other = Otro
## Clases de registros
registry-kind-inquiry = { $n ->
    [one] la consulta
   *[other] { $n } consultas
}
registry-kind-contact = { $n ->
    [one] quién preguntó
   *[other] { $n } personas que preguntaron
}
registry-kind-site = { $n ->
    [one] el lugar
   *[other] { $n } lugares
}
registry-kind-site_note = { $n ->
    [one] una nota del lugar
   *[other] { $n } notas del lugar
}
registry-kind-plant = { $n ->
    [one] una planta
   *[other] { $n } plantas
}
registry-kind-visit = { $n ->
    [one] una visita
   *[other] { $n } visitas
}
registry-kind-finding = { $n ->
    [one] un hallazgo
   *[other] { $n } hallazgos
}
registry-kind-photo = { $n ->
    [one] una foto
   *[other] { $n } fotos
}
registry-kind-sample = { $n ->
    [one] una muestra
   *[other] { $n } muestras
}
registry-kind-custody = { $n ->
    [one] una entrega de muestra
   *[other] { $n } entregas de muestra
}
registry-kind-diagnosis = { $n ->
    [one] un diagnóstico
   *[other] { $n } diagnósticos
}
registry-kind-advice = { $n ->
    [one] un consejo
   *[other] { $n } consejos
}
registry-kind-follow_up = { $n ->
    [one] un seguimiento
   *[other] { $n } seguimientos
}
registry-kind-review = { $n ->
    [one] una revisión
   *[other] { $n } revisiones
}
registry-kind-alert = { $n ->
    [one] un registro sellado
   *[other] { $n } registros sellados
}
registry-kind-hours = { $n ->
    [one] horas
   *[other] { $n } horas de trabajo
}
## Seguridad de quien miró
registry-comfort-1 = una conjetura
registry-comfort-2 = bastante segura
registry-comfort-3 = segura
## Lo que el paquete no nombra
registry-no-host = No se sabe qué planta es
registry-regulated = Una plaga o enfermedad regulada, que aquí no se nombra
registry-stop = Alto: { $title }
registry-stop-unknown = El paquete de aquí no tiene palabras para este alto. Trátelo como un alto de todos modos y pregunte a la persona a cargo.
# Un alto que alguien leyó.
registry-stop-was-read = { $stop }, se leyó { $time }
registry-field-same_as = mismo problema que
registry-field-apart_from = otro problema que
registry-field-decision = decisión
registry-field-grounds = motivos de la respuesta propia
registry-field-done = no queda nada por preguntar
registry-word-agree = ambas dicen lo mismo
registry-word-correct = se corrige la respuesta de quien explora
registry-word-ask_back = se pregunta otra vez a quien explora
registry-word-sample = se envía una muestra
registry-word-not_known = aún no se sabe
