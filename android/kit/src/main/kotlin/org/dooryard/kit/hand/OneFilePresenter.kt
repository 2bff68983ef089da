package org.dooryard.kit.hand

import org.dooryard.core.InquiryScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Trail

/** One inquiry as a file: made, given away in any way. */
class OneFilePresenter(core: Core, trail: Trail, private val errands: Errands, private val inquiry: RecordId) :
    WorkingPresenter<InquiryScreen>(core, trail, errands.one, errands.oneSaved) {
    /** Making the file; a file of another inquiry is none here. */
    val made: Stage<OneFile>
        get() = errands.one.stage.let { if (it is Stage.Ended && it.value.inquiry != inquiry) Stage.Idle else it }

    /** Copying it to a place. */
    val saved get() = errands.oneSaved.stage

    override fun Screens.load() = inquiry(inquiry)

    /** Makes the file. */
    fun make() = errands.writeOne(inquiry)

    /** Copies it to a place that somebody chose. */
    fun save(to: Sink) = (made as? Stage.Ended)?.let { errands.saveOne(it.value, to) }

    /** What came of it was read. */
    fun seen() {
        errands.one.clear()
        errands.oneSaved.clear()
    }
}
