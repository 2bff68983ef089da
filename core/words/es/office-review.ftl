# What awaits a reviewer, one review, values that two phones wrote apart, several at once, inquiries that look alike.
review-title = Revisión
review-of = Revisión: { $title }
review-count = { $n } { $n ->
    [0] respuestas esperan revisión. Todo lo que pide la regla está revisado.
    [one] respuesta espera revisión.
   *[other] respuestas esperan revisión.
}
review-besides = { $asked } { $asked ->
    [one] espera
   *[other] esperan
} noticia de un explorador o de un laboratorio. { $spared } { $spared ->
    [one] respuesta no está
   *[other] respuestas no están
} en la fila: la regla no pide revisarlas.
review-why = Por qué están aquí
review-why-note = una respuesta puede estar por varias razones; elija una para ver solo esas
review-why-all = elegida; oprima otra vez para ver todas
review-why-stop = Hay un alto
review-why-pesticide = Se nombra un rociado
review-why-high-consequence = Se aconseja quitar una planta
review-why-food = Alguien piensa comer de ella
review-why-first-report = La primera de su causa esta temporada
review-why-low-confidence = Menos que probable, o sin causa
review-why-random = Por sorteo, una de cada diez
review-why-here = Está aquí porque:
review-none = Nada espera revisión. Qué hacer: reciba los próximos paquetes.
review-order = Lo más urgente primero
review-span = { $n } en esta página, { $of } en total
review-first = Desde la primera
review-more = Las siguientes
review-pick = Elegir
review-pick-one = Elegir { $title }
review-several = Cambiar juntas las elegidas
review-no-plant = Todavía no hay planta anotada
review-somebody = Alguien
review-soon-today = hoy
review-soon-week = esta semana
review-begun = { $who } guardó una respuesta y todavía no decide.
review-queue-news = La fila ha cambiado.
review-queue-again = Mostrarla de nuevo
review-earlier = Anterior
review-later = Siguiente
review-queue = Fila
review-closed = Las palabras del residente están abiertas a líderes de exploradores y revisores.
review-no-words = No se anotaron las palabras del residente.
review-answers = Las dos respuestas
review-own-head = Su respuesta, escrita antes de ver ninguna otra · { $at }
review-scout-head = La respuesta de { $who } · { $at }
review-no-own = Usted no ha escrito una respuesta propia.
review-no-cause = Alguien miró y no nombró ninguna causa.
review-not-known = Todavía no se sabe
review-not-said = nadie anotó con cuánta seguridad
review-regulated-cause = Una plaga o enfermedad regulada, que aquí no se nombra
review-regulated = Las razones no se muestran aquí: pueden nombrar algo regulado. El educador las tiene.
review-sure = { $word }, { $n } de 100
review-differ-same = Coinciden en la primera causa.
review-differ-none = Ninguno de los dos nombra una causa.
review-differ-advice-same = Difieren en la primera causa. El consejo es el mismo para ambas.
review-differ-advice-other = Difieren en la primera causa, y el consejo también cambia.
review-differ-scout-none = Usted nombra una causa y el explorador no.
review-differ-own-none = El explorador nombra una causa y usted no.
review-whole = Todo sobre esta consulta
review-looked = Lo que se miró
review-looked-at = { $title }: lo que se miró
review-no-plant-yet = No se anotó ninguna planta. Nadie dice que alguien haya mirado.
review-no-finding = No se anotó ningún hallazgo de esta planta. Nadie dice que alguien haya mirado.
review-guess = una suposición
review-fairly = bastante seguro
review-sure-word = seguro
review-part = Parte
review-nothing = nada
review-status-seen = Se vio
review-status-absent = Se miró, no está
review-status-unclear = No se pudo saber
review-status-unlooked = No se miró
review-reasons = Razones a favor y en contra
review-reasons-of = según la clave, paquete { $pack }; varias pueden ser ciertas a la vez
review-cause = Causa
review-how-sure = Seguridad
review-for = A favor
review-against = En contra
review-unlooked = Sin mirar; diría más
review-visits = Visitas
review-photos = Fotos
review-photos-n = { $n ->
    [0] no se tomó ninguna
    [one] 1; se abre más grande
   *[other] { $n }; cada una se abre más grande
}
review-photo = Foto { $n }
review-photo-not-here = La imagen todavía no llega. Sigue en el teléfono.
review-own = Primero su propia respuesta
review-own-note = La respuesta del explorador se abre cuando la suya esté guardada. Todavía no está en esta página.
review-cause-first = La causa principal
review-cause-n = Causa { $n }, si la hay
review-choose-cause = Elija una causa
review-causes-host = En { $host }
review-causes-other = Cualquier otra
review-sure-in-100 = Seguridad, de 100
review-role = Su papel
review-role-primary = la causa misma
review-role-stress = sigue al estrés
review-role-secondary = sigue a otro daño
review-role-environment = lugar, clima o personas
review-role-harmless = sin daño
review-scale = 0 casi imposible, 5 muy poco probable, 20 poco probable, 45 puede que sí o que no, 55 probable, 80 muy probable, 95 casi seguro. Varias causas pueden ser ciertas a la vez.
review-own-unknown = Todavía no lo sé
review-grounds = Por qué, en sus palabras
review-own-keep = Guardar mi respuesta y abrir la del explorador
review-draft-kept = Se guarda mientras escribe.
review-draft-not-kept = Lo que escribe no se pudo guardar ahora. Está aquí; envíelo antes de salir.
review-draft-again = Está como usted lo dejó.
review-decide = Decidir
review-decide-correct = Vale la mía
review-decide-correct-note = se hace una respuesta nueva; la del explorador se conserva
review-decide-agree = Vale la del explorador
review-decide-ask = Pedir antes que se mire otra vez
review-decide-ask-note = las palabras de abajo van al explorador como pregunta
review-decide-sample = Mandar una muestra al laboratorio
review-decide-sample-note = las palabras de abajo dicen al explorador qué tomar y cómo
review-decide-unknown = Todavía no se sabe
review-words = Por qué, en una frase que leerá el explorador
review-question = Qué preguntar a cada explorador
review-due = Respuesta para el día
review-sample-part = Qué parte de la planta
review-decide-keep = Guardar la decisión
review-may-not = Aquí deciden los revisores. Usted ve lo que ellos ven.
review-open-all-the-same = Ya está decidida. Abrir la respuesta del explorador sin escribir una.
review-other-kept = { $who } guardó una respuesta a las { $at } y todavía no decide.
review-other-reviewed = { $who } acaba de revisar esto, a las { $at }.
review-other-decided = { $who } revisó esto a las { $at }: { $what }.
review-other-answer = La respuesta fue: { $what }.
review-decided-agree = vale la respuesta del explorador
review-decided-correct = vale la respuesta propia del revisor
review-decided-ask-back = se pidió mirar otra vez
review-decided-sample = una muestra va al laboratorio
review-decided-not-known = todavía nadie lo sabe
review-meanwhile = Alguien estuvo aquí mientras tanto
review-meanwhile-note = Todavía no se escribió nada suyo, y nada de lo que escribió se perdió: está en el formulario. Mire lo que cambió y envíelo otra vez.
review-wrong = Primero hay que corregir esto
review-wrong-no-cause = Aquí hay un número sin causa. Elija la causa o quite el número.
review-wrong-cause = Esta causa no se puede elegir aquí. Elija otra.
review-wrong-twice = Esta causa está dos veces. Elija otra o déjela vacía.
review-wrong-sure = Escriba un número entero de 0 a 100.
review-wrong-nothing = Nombre una causa, o diga que todavía no lo sabe.
review-wrong-both = Nombra una causa y dice que no lo sabe. Quite una de las dos.
review-wrong-secondary = Lo que sigue a otro daño nunca es la única causa. Nombre lo que vino primero.
review-wrong-long = Tiene más de 16,000 letras. Acórtelo.
review-wrong-long-question = Una pregunta tiene a lo más 2,000 letras. Acórtela.
review-wrong-part = Escriba qué parte de la planta tomar.
review-wrong-decision = Elija una de las cinco.
review-wrong-no-own = Su respuesta no nombra ninguna causa, así que no puede valer. Elija otra.
review-wrong-question = Escriba qué debe mirar o tomar el explorador.
review-wrong-due = Escriba un día.
review-wrong-choice = Elija uno de los valores, o escriba otro.
review-wrong-third = Este campo no puede tener ese valor. Escriba otro.
review-wrong-do = Elija qué hacer con cada una.
review-clash = Dos teléfonos no coinciden
review-clash-kept = { $n ->
    [2] El segundo se escribió sin haber visto el primero. Los dos se conservan, se elija lo que se elija.
   *[other] Ninguno se escribió habiendo visto los otros. Todos se conservan, se elija lo que se elija.
}
review-clash-third = Ninguno: escribo otro
review-clash-value = El otro valor
review-clash-keep = Guardar lo elegido
review-clash-private = Mostrar los valores privados que difieren. Queda anotado que usted los miró.
review-yes = sí
review-no = no
review-alike = Puede ser el mismo problema
review-alike-note = Por la misma foto, el mismo contacto, o el mismo lugar con una planta en común en 14 días. Enlazar no junta nada: cada consulta queda como está.
review-alike-photo = La misma foto.
review-alike-contact = El mismo contacto.
review-alike-place = El mismo lugar, una planta en común, en 14 días.
review-alike-linked = Enlazada: el mismo problema.
review-alike-same = El mismo problema
review-alike-apart = No es el mismo
review-alike-unlink = Quitar el enlace
review-bar = Lo último que se hizo
review-undo = Deshacer
review-forget = Guardar este aviso
review-undone = Se deshizo. El historial tiene las dos cosas.
review-undone-some = { $back } { $back ->
    [one] cambio se deshizo
   *[other] cambios se deshicieron
}. { $left } { $left ->
    [one] quedó como está: alguien lo cambió después.
   *[other] quedaron como están: alguien los cambió después.
}
review-undone-nothing = No había nada que deshacer.
review-done-agree = Guardado: vale la respuesta del explorador.
review-done-correct = Guardado: vale la suya, y la del explorador está en el historial.
review-done-ask-back = Guardado: se pide mirar otra vez.
review-done-sample = Guardado: se pide una muestra.
review-done-not-known = Guardado: todavía no se sabe.
review-done-choose = Guardado: lo que eligió. Deshacer pone el otro valor en su lugar; los dos quedan en el historial.
review-done-same = Enlazadas como el mismo problema.
review-done-apart = Anotado que no son lo mismo.
review-done-unlink = Se quitó el enlace.
review-done-several-ask = Se preguntó a los exploradores de { $n } { $n ->
    [one] respuesta.
   *[other] respuestas.
}
review-done-several-urgency = Se cambió la urgencia de { $n } { $n ->
    [one] consulta.
   *[other] consultas.
}
review-several-title = Varias a la vez
review-several-count = { $n } { $n ->
    [one] respuesta elegida.
   *[other] respuestas elegidas.
}
review-several-chosen = Elegidas
review-several-none = Ninguna está elegida, o las elegidas ya no esperan revisión. Lo demás está como estaba. A lo más { $n } se pueden cambiar a la vez.
review-several-many = Hay más de { $n } elegidas. Elija menos.
review-several-what = Qué hacer con cada una
review-several-do-ask = Hacer la misma pregunta a cada explorador
review-several-do-today = Se necesita respuesta hoy
review-several-do-week = Se necesita respuesta esta semana
review-several-do-ordinary = La respuesta no es urgente
review-several-look = Ver qué cambiaría
review-several-preview = { $n } { $n ->
    [one] cambio, si lo hace
   *[other] cambios, si lo hace
}
review-several-do = Hacer { $n } { $n ->
    [one] cambio
   *[other] cambios
}
review-several-nothing = Nada cambiaría.
review-several-ask = Se pregunta a { $who } sobre { $title }: “{ $words }”
review-several-urgency = { $title }: { $from } pasa a { $to }
review-several-meanwhile = Algunas de las elegidas cambiaron mientras tanto. No se hizo nada. Mire qué cambiaría ahora y hágalo otra vez.
review-urgency-today = para hoy
review-urgency-this-week = para esta semana
review-urgency-ordinary = sin urgencia
review-back = Volver a la fila
review-keys-open = Teclas: oprima ?
review-keys-head = Teclas
review-keys-note = No hacen nada mientras usted escribe, ni junto con otras teclas.
review-keys-on = Las teclas solas están activas
review-keys-close = Cerrar
review-key-next-row = el renglón siguiente
review-key-row-before = el renglón anterior
review-key-pick = elegir el renglón
review-key-later = la revisión siguiente
review-key-earlier = la revisión anterior
review-key-own = su propia respuesta
review-key-agree = vale la del explorador
review-key-correct = vale la mía
review-key-ask = pedir que se mire otra vez
review-key-sample = mandar una muestra
review-key-unknown = todavía no se sabe
review-key-words = a las palabras
review-key-queue = volver a la fila
review-key-undo = a Deshacer
review-key-help = estas teclas
# What the audit says of it.
audit-saw-review = miró una revisión
audit-kept-answer = guardó una respuesta propia antes de ver la del explorador
audit-decided = decidió una revisión
audit-chose-value = eligió entre dos valores
audit-linked = enlazó o separó consultas que se parecen
audit-reviewed-many = cambió varias revisiones a la vez
audit-took-back = deshizo lo que había hecho
review-bad-part = Una parte no tiene la forma debida.
review-bad-reason = El motivo que dice no es de los de una revisión.
review-bad-place = El lugar que dice no es de la lista.
