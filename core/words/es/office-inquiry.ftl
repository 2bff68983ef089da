# La página de una consulta, y fotos lado a lado.
## La cabeza de la página.
inquiry-all = Todas las consultas
inquiry-number = número
inquiry-bad-address = Lo que pide ver no tiene la forma debida.
inquiry-no-plant-yet = Todavía no se anotó ninguna planta
inquiry-taken-by = la recibió { $who }
inquiry-urgent-today = necesita respuesta hoy
inquiry-urgent-week = necesita respuesta esta semana
inquiry-outcome = la planta: { $outcome }
inquiry-taken-away = retirada; se guarda y no se cuenta
inquiry-list-last = { $most } y { $last }
## De quién son estas palabras.
inquiry-resident = La persona
inquiry-by-phone = por teléfono
inquiry-by-email = por correo electrónico
inquiry-by-clinic_table = en una mesa de consultas
inquiry-by-yard = en el jardín
inquiry-by-letter = por carta
inquiry-by-school = en la escuela
inquiry-in-spanish = en español
inquiry-words-erased = Las palabras de la persona se borraron.
inquiry-words-closed = Las palabras de la persona, la dirección y quién preguntó los ven quienes dirigen exploradores y quienes revisan.
inquiry-words-none = No se anotaron las palabras de la persona.
## Lo que se aceptó.
inquiry-consent-unknown = Nadie anotó qué aceptó la persona. Pregunte antes de una visita.
inquiry-agreed = Aceptó { $what }.
inquiry-not-agreed = No aceptó { $what }.
## Visitas.
inquiry-visits = Visitas
inquiry-visit = { $at }, { $who }
inquiry-no-day = Sin día anotado
inquiry-no-date = sin día
inquiry-somebody = alguien
inquiry-minutes = { $n } { $n ->
    [one] minuto
   *[other] minutos
}
inquiry-looked-at = { $n ->
    [one] { $n } planta mirada
   *[other] { $n } plantas miradas
}
inquiry-protocol = protocolo { $protocol }
inquiry-pack = paquete { $pack }
## Plantas y hallazgos.
inquiry-looked-at-head = Lo que se miró
inquiry-no-plant = todavía ninguna planta
inquiry-no-plant-why = No se anotó ninguna planta. Nadie dice que alguien haya mirado.
inquiry-plant-looked-at = { $plant }: lo que se miró
inquiry-no-finding = No se anotó ningún hallazgo de esta planta. Nadie dice que alguien haya mirado.
inquiry-findings-of = Hallazgos por parte de la planta: { $plant }
inquiry-source = Lo miró { $source }, salvo donde un hallazgo diga otra cosa.
inquiry-part = Parte
inquiry-findings = { $n } { $n ->
    [one] hallazgo
   *[other] hallazgos
}
inquiry-from-field = en el campo
inquiry-from-photo = por una foto
inquiry-from-told = según se contó
inquiry-from-laboratory = en un laboratorio
inquiry-counted = { $n } contados
inquiry-share = { $share } de cada 100
inquiry-not-in-pack = no está en este paquete
inquiry-phones-disagree = dos teléfonos no coinciden
inquiry-rest-all = Nadie anotó nada sobre { $n } { $n ->
    [one] carácter
   *[other] caracteres
} del paquete. Eso no dice nada a favor ni en contra.
inquiry-rest = Nadie anotó nada sobre { $n ->
    [one] { $n } carácter más
   *[other] { $n } caracteres más
} del paquete. Eso no dice nada a favor ni en contra.
inquiry-show-it = { $n } de { $of } lo muestran
inquiry-show-it-of-unknown = { $n } lo muestran, nadie anotó de cuántas
inquiry-present-only = { $n ->
    [one] hay { $n } planta
   *[other] hay { $n } plantas
}, nadie anotó cuántas lo muestran
inquiry-count-unknown = nadie anotó cuántas lo muestran
inquiry-host-sure = clase de planta: { $sure }
inquiry-cultivar = cultivar { $cultivar }
inquiry-planted = plantada { $planted }
inquiry-edible = alguien piensa comer de ella
inquiry-no-pack = aquí no hay paquete
## Razones.
inquiry-reasons = { $plant }: razones a favor y en contra
inquiry-from-key = de la clave, paquete { $pack }; varias pueden ser ciertas a la vez
inquiry-other-pack = Las miradas y respuestas de aquí se hicieron con { $used }; la clave de aquí calcula con { $here }.
inquiry-cause = Causa
inquiry-how-sure = Qué tan seguro
inquiry-for = A favor
inquiry-against = En contra
inquiry-unlooked = No se miró, diría más
inquiry-in-100 = { $n } de cada 100
inquiry-sure = { $word }, { $n } de cada 100
inquiry-nothing-looked = nada de lo que se miró
inquiry-no-cause = Los hallazgos no señalan ninguna causa del paquete. No saber todavía es una respuesta.
inquiry-not-settled = Los hallazgos no lo deciden: ninguna causa sobresale. Hace falta mirar otra vez.
inquiry-not-used = { $n ->
    [one] { $n } hallazgo no se usó: este paquete no conoce su nombre.
   *[other] { $n } hallazgos no se usaron: este paquete no conoce sus nombres.
}
inquiry-none-of-them = Ninguna de las causas del paquete: { $n } de cada 100.
inquiry-together = Lo más probable juntas: { $causes }, { $n } de cada 100.
inquiry-needs-educator = primero confirma la persona a cargo
inquiry-needs-sample = primero una muestra al laboratorio
inquiry-needs-arborist = un profesional calificado del cuidado de árboles en el lugar
inquiry-needs-authority = necesita una revisión oficial; decide la persona a cargo
inquiry-other-seen = { $about }: se vio otra cosa que { $states }
inquiry-what-it-brings = lo que ella trae
inquiry-or = { $a } o { $b }
inquiry-others = { $n ->
    [one] { $n } más
   *[other] { $n } más
}
inquiry-and-others = { $some } y { $others }
## Lo que cambiaría la respuesta.
inquiry-next-head = Lo que lo cambiaría: mire esto ahora
inquiry-next-enough = Nada de lo que falta mirar cambiaría qué hacer. Parar aquí está igual de bien.
inquiry-next-none = Nada de lo que falta mirar diría más.
inquiry-next-effect = Si es «{ $answer }»: { $cause } pasa de { $from } a { $to } de cada 100.
inquiry-next-changes = Cambia qué hacer en { $n } de cada 100 casos.
inquiry-next-same = No cambia qué hacer.
inquiry-cost-glance = solo los ojos
inquiry-cost-touch = mano, lupa, papel blanco o regla
inquiry-cost-knife = una navaja limpia; el corte daña un poco la planta
inquiry-cost-dig = una palita de mano
inquiry-cost-lab = una muestra para el laboratorio, un pago, días de espera
## Fotos.
inquiry-photos = Fotos
inquiry-photo = Foto
inquiry-photos-none = no se tomó ninguna
inquiry-photos-all = { $n }; { $n ->
    [one] se abre más grande
   *[other] cada una se abre más grande
}
inquiry-photos-some = llegaron { $here } de { $n }
inquiry-photo-not-here = La imagen aún no ha llegado. Sigue en el teléfono.
inquiry-photo-by = la tomó { $who }
inquiry-photo-scale = { $scale } para la escala
inquiry-beside = Fotos lado a lado
inquiry-beside-back = Volver a la consulta
inquiry-beside-none = Elija abajo dos fotos o más, y mírelas lado a lado.
inquiry-beside-chosen = Las fotos elegidas
inquiry-beside-together = Mover todas juntas
inquiry-beside-full = Pantalla completa
inquiry-beside-keys = Con una imagen elegida: + y − la acercan y la alejan, las flechas la mueven, 0 la muestra entera. También sirven la rueda y arrastrar.
inquiry-beside-zoom = Aumento
inquiry-beside-called = { $letter }: foto { $number }. { $shows }
inquiry-beside-closer = Más cerca
inquiry-beside-farther = Más lejos
inquiry-beside-left = A la izquierda
inquiry-beside-right = A la derecha
inquiry-beside-up = Arriba
inquiry-beside-down = Abajo
inquiry-beside-whole = Imagen entera
inquiry-beside-alone = Solo esta imagen, lo más grande que se muestra
inquiry-beside-choose = Elegir fotos
inquiry-beside-most = a lo más { $n } a la vez
inquiry-beside-own = De esta consulta
inquiry-beside-other = También fotos de otra consulta: su número, o las últimas letras de él
inquiry-beside-not-found = Ninguna consulta, o más de una, tiene este número. Dé el número entero, o al menos sus últimas { $n } letras.
inquiry-beside-show = Mostrar las elegidas lado a lado
inquiry-beside-tick = lado a lado
inquiry-beside-one-more = Hay una foto elegida. Elija otra abajo para compararla.
inquiry-beside-too-many = Se eligieron { $n } fotos; se muestran las primeras { $most }.
inquiry-beside-gone = { $n ->
    [one] { $n } foto elegida no es de estas consultas y no se muestra.
   *[other] { $n } fotos elegidas no son de estas consultas y no se muestran.
}
## Respuestas.
inquiry-answers = Respuestas
inquiry-answers-now = { $now } en pie ahora
inquiry-answers-now-past = { $now } en pie ahora, { $past } de antes, guardadas
inquiry-answers-none = Nadie ha respondido todavía.
inquiry-answers-no-cause = No se nombró ninguna causa.
inquiry-nobody-wrote-who = nadie anotó quién
inquiry-nobody-wrote-sure = nadie anotó qué tan seguro
inquiry-replaced = reemplazada por una respuesta posterior; se guarda
inquiry-withdrawn = retirada; se guarda
inquiry-reasons-hidden = Las razones no se muestran aquí: pueden nombrar algo regulado. Las tiene la persona a cargo.
inquiry-office = La oficina
inquiry-review = Revisión
inquiry-review-looked = { $who } la miró.
inquiry-review-blind = { $who }, antes de ver otra respuesta: { $causes }.
inquiry-review-same = Ambas dicen lo mismo.
inquiry-review-differ = Las dos difieren.
inquiry-review-why = Por qué se miró: { $reason }.
## Consejos y seguimientos.
inquiry-advice = Consejos dados
inquiry-by = por { $who }
inquiry-given-spoken = de palabra
inquiry-given-email = por correo electrónico
inquiry-given-letter = por carta
inquiry-given-print = impreso
inquiry-after-answer = después de la respuesta de { $at }
inquiry-blocks = Texto del paquete, con su versión:
inquiry-block = { $text }, versión { $version }
inquiry-no-caution = no se mostró ninguna precaución
inquiry-cautions = precauciones mostradas: { $cautions }
inquiry-label-shown = se mostró: la etiqueta es la ley
inquiry-read-back = la persona lo repitió
inquiry-follow-ups = Seguimientos
inquiry-no-question = No se anotó qué preguntar.
inquiry-answered = contestado
inquiry-answered-on = contestado el { $day }
## Muestras.
inquiry-samples = Muestras
inquiry-samples-line = con cada entrega
inquiry-sample = Muestra
inquiry-sample-step-1 = Tomada, todavía sin entregar.
inquiry-sample-step-2 = Entregada; todavía sin número de laboratorio.
inquiry-sample-step-3 = La tiene un laboratorio; todavía sin resultado.
inquiry-sample-step-4 = Llegó el resultado.
inquiry-sample-no-way = No se anotó ninguna entrega.
inquiry-sample-taken = Tomada
inquiry-sample-handed = { $from } a { $to }
inquiry-sample-number = El laboratorio la tiene con el número { $number }
inquiry-sample-result = Resultado
inquiry-sample-disposal = Qué se hizo de ella: { $what }
inquiry-sample-words = El laboratorio, en sus palabras
inquiry-sample-no-result = Todavía sin resultado.
inquiry-pieces = { $n } { $n ->
    [one] pieza
   *[other] piezas
}
inquiry-seal = sello { $seal }
inquiry-cool = en frío
inquiry-not-cool = sin frío
## Quién la tiene.
inquiry-held = Quién la tiene
inquiry-held-has = La tiene { $who }
inquiry-held-nobody = Todavía no la tiene nadie.
inquiry-held-by = Quién la tiene
inquiry-held-by-note = Función y número, como Scout 3. Sin nombre: lo leen los teléfonos.
inquiry-held-due = Responder antes de
inquiry-held-due-words = { $day } ({ $due })
inquiry-held-waiting = En espera de
inquiry-held-waiting-note = Qué tiene que llegar antes, como un resultado de laboratorio. Sin nombre ni lugar.
inquiry-held-said-by = Lo puso { $who }, { $at }.
inquiry-held-educator = Persona a cargo
inquiry-held-save = Guardar esto
inquiry-held-save-mine = Guardar lo que escribí
inquiry-held-leave = Dejarlo como está
inquiry-held-meanwhile = Otra persona cambió esto mientras tanto.
inquiry-held-meanwhile-why = Lo que vale ahora está aquí, lo que usted escribió está abajo en el formulario. Todavía no se guardó nada suyo.
inquiry-held-long = Tiene { $n } letras; el límite es { $most }. Hágalo más corto.
inquiry-held-no-day = Esto no es un día. Escríbalo como año, mes, día: 2026-07-30.
## Conflictos, lugar, contacto.
inquiry-clashes = Dos teléfonos no coinciden
inquiry-clashes-line = { $n }; se guardan todos hasta que alguien elija
inquiry-clash-about = { $field } ({ $kind })
inquiry-clash-who = { $who } escribió
inquiry-clash-at = ({ $at })
inquiry-clash-gone = algo que no está aquí
inquiry-clash-end = { $n ->
    [2] sin haber visto lo primero. Se guardan los dos.
   *[other] sin que nadie viera lo de los demás. Se guardan todos.
}
inquiry-where = Dónde
inquiry-no-place = No se anotó ningún lugar.
inquiry-township = Municipio
inquiry-township-of = municipio de { $name }
inquiry-county = Condado
inquiry-cell = Zona
inquiry-cell-about = { $cell } (de unas 5 millas)
inquiry-ground = Terreno
inquiry-mind = Cuidado
inquiry-address = Dirección
inquiry-point = Punto
inquiry-height = Altura
inquiry-way-in = Entrada
inquiry-north = N
inquiry-south = S
inquiry-east = E
inquiry-west = O
inquiry-within = con error de { $feet }
inquiry-feet = { $feet } pies
inquiry-point-phone = del teléfono
inquiry-point-photo = de una foto
inquiry-point-pin = de un punto puesto a mano
inquiry-point-map = de un mapa
inquiry-point-survey = de un levantamiento
inquiry-point-other = de otro modo
inquiry-address-erased = La dirección se borró.
inquiry-show-address = Mostrar la dirección
inquiry-hide-address = Ocultar la dirección
inquiry-address-private = y el punto. Son privados.
inquiry-address-shown = La dirección y el punto son privados.
inquiry-asked = Quién preguntó
inquiry-minor = Preguntó un menor. Aquí no se guarda nada de la persona.
inquiry-contact-closed = Lo ven quienes dirigen exploradores y quienes revisan.
inquiry-show-contact = Mostrar el contacto
inquiry-hide-contact = Ocultar el contacto
inquiry-contact-private = Es privado.
inquiry-contact-shown = El contacto es privado.
inquiry-contact-erased = Se borró quién preguntó.
inquiry-contact-none = Aquí no se anotó a quién llamar.
inquiry-name = Nombre
inquiry-phone = Teléfono
inquiry-email = Correo
inquiry-best-by = Mejor por
inquiry-note = Nota
inquiry-kept-until = Se guarda hasta
## Lo que pasó.
inquiry-history = Lo que pasó
inquiry-history-line = primero lo más antiguo
inquiry-h-all = Cada campo
inquiry-h-more = Abrir cada campo de cada anotación
inquiry-h-less = Cerrarlos
inquiry-h-wrote = anotó { $what }
inquiry-h-withdrew = retiró { $thing }; se guarda y ya no cuenta
inquiry-h-took-away = quitó { $thing }; se guarda y no se muestra
# $changed y $added son listas de campos; cada frase toma lo que necesita.
inquiry-h-back = volvió a poner { $thing }
inquiry-h-wrote-fields = anotó { $thing }: { $added }
inquiry-h-added = agregó en { $thing }: { $added }
inquiry-h-changed = cambió { $thing }: { $changed }
inquiry-h-changed-added = cambió { $thing }: { $changed }; agregó { $added }
inquiry-h-waits = Todavía no cuenta. { $why }
inquiry-h-now = { $field } es ahora { $value }
inquiry-h-field-changed = { $field }: era { $before }, ahora es { $value }
inquiry-h-beside = hay otro valor a su lado; se guardan los dos
inquiry-h-erased = borrado, o guardado en otra parte
inquiry-h-private = algo privado
inquiry-h-words = palabras; están con las respuestas
inquiry-h-link = un enlace
inquiry-h-links = { $n } { $n ->
    [one] enlace
   *[other] enlaces
}
inquiry-h-save = { $at }, { $thing }
inquiry-h-phone = Teléfono de { $who }, número { $number }
inquiry-h-office = En la oficina
inquiry-to-letter = Escribir la carta
inquiry-to-walk = Recorrer la clave
inquiry-to-desk = Quién preguntó y qué
inquiry-ask-later = Preguntar después
inquiry-ask-later-by = Quién pregunta; vacío: usted
inquiry-ask-later-keep = Guardarlo
inquiry-nothing-left = no queda nada por preguntar

# What was read and asked of danger on a phone.
inquiry-stop-was-read = Se leyó en el teléfono { $time }
inquiry-danger-asked = Preguntas de peligro: { $said }
