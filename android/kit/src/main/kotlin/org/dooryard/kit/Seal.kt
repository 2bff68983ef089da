package org.dooryard.kit

/** Whether what is shown is under seal. What is about an inquiry counts as sealed until the notebook says that it is not. */
class Seal(private val core: Core) {
    private var asked: Asked? = null
    private var known: Pair<String, Boolean>? = null

    /** Tells whether this place is, at once and once more when that is known. */
    fun of(place: Place, then: (Boolean) -> Unit) {
        // A photo is seen from its inquiry: it is as that was.
        if (place is Place.Photo) return
        asked?.drop()
        val inquiry = place.inquiryOf ?: return then(false)
        then(known?.takeIf { it.first == inquiry }?.second ?: true)
        asked = core.ask({ inquiry(inquiry).sealed.isNotEmpty() }) { answer ->
            if (answer !is Answer.Done) return@ask
            known = inquiry to answer.value
            then(answer.value)
        }
    }
}
