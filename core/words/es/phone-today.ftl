# La primera pantalla de un teléfono, sus listas, y en qué punto del camino está cada consulta.
phone-saved = Guardado en este teléfono a las { $time }
phone-saved-day = Guardado en este teléfono el { $day }
phone-feet = { $n } pies
phone-meters = { $n } m
phone-miles = { $n } mi
phone-kilometers = { $n } km
phone-sure = { $word }, { $n } de 100
phone-waits-nothing = En este teléfono no hay nada por entregar.
phone-waits-inquiries = { $n ->
    [one] 1 consulta en este teléfono, sin entregar.
   *[other] { $n } consultas en este teléfono, sin entregar.
}
phone-waits-changes = { $n ->
    [one] 1 cambio en este teléfono, sin entregar.
   *[other] { $n } cambios en este teléfono, sin entregar.
}
phone-waits-since = { $n ->
    [0] Lo más viejo: de hoy.
    [one] Lo más viejo: 1 día.
   *[other] Lo más viejo: { $n } días.
}
phone-due-more = Hay más. Está en Más tarde.
phone-not-answered-yet = La oficina no ha contestado todavía. Todo se guarda aquí, y se puede entregar de todos modos.
phone-no-office = Este teléfono todavía no es de ninguna oficina. Todo se guarda aquí.
phone-pack-old = El contenido de este teléfono era para usarse hasta el { $day }. Pida uno más nuevo a la oficina.
phone-left = Se quedó en: { $screen }
phone-left-ask = tomar la consulta
phone-left-stop = un alto por leer
phone-left-place = el lugar
phone-left-plant = la planta
phone-left-look = mirar
phone-left-shots = las fotos
phone-left-think = qué podría ser
phone-left-tell = qué decir
phone-left-letter = la carta
phone-left-sample = la muestra
phone-left-inquiry = la consulta
phone-sealed = Una consulta sellada
phone-sealed-what = Sellada: no aparece en listas por su planta o lugar, ni en mapas, ni en cartas. No le diga a nadie qué se sospecha; la oficina avisa a quien deba saberlo.
phone-unfinished = Sin terminar
phone-none-yet = Todavía no hay consultas.
phone-none-so = Ninguna así.
phone-none-found = Ninguna consulta tiene todas esas palabras.
phone-way-here = En este teléfono
phone-way-handed = Entregada
phone-way-office = La tiene la oficina
phone-way-reviewed = Revisada
phone-way-no-word = Sin respuesta todavía. Se guarda aquí hasta entonces.
phone-conflicts = { $n ->
    [one] Dos personas escribieron distinto sobre 1 registro. Se guardan los dos.
   *[other] Dos personas escribieron distinto sobre { $n } registros. Se guardan los dos.
}
phone-conflicts-of-one = { $n ->
    [one] Dos personas escribieron distinto sobre 1 cosa aquí. Se guardan las dos.
   *[other] Dos personas escribieron distinto sobre { $n } cosas aquí. Se guardan las dos.
}
phone-later-none = Nada que preguntar más tarde.
phone-no-day = sin día
phone-laboratory = Laboratorio
phone-stands = Cómo va
phone-review-on = La oficina la miró, { $day }
phone-review-open = Nada decidido todavía.
phone-review-agree = La oficina dice lo mismo.
phone-review-correct = La oficina dice otra cosa.
phone-review-ask-back = La oficina pide mirar una vez más.
phone-review-sample = La oficina pide una muestra.
phone-review-not-known = La oficina tampoco sabe, y lo dice.
phone-useful-words = Lo que dijo el residente, con sus palabras
phone-useful-place = El municipio
phone-useful-plant = De qué planta se trata
phone-useful-host = Qué clase de planta es: hace falta para mirar
phone-useful-count = Cuántas hay, y cuántas lo muestran
phone-useful-look = Una primera mirada
phone-useful-photo = Una foto de la planta entera
phone-useful-consent = A qué dice que sí el residente
phone-useful-tell = Lo que se le dijo

# What was found in earlier visits to one place.
phone-again-plants = { $n ->
    [one] Otra visita a esta planta
   *[other] Otra visita a estas plantas
}
phone-again-place = Otra visita a este lugar
phone-past-none = Nada anotado como visto
phone-past-more = { $text }; y { $n } más
