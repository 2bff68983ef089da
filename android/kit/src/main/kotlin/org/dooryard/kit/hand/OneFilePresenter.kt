package org.dooryard.kit.hand

import org.dooryard.core.InquiryScreen
import org.dooryard.core.RecordId
import org.dooryard.core.Screens
import org.dooryard.kit.Core
import org.dooryard.kit.Trail

/** One inquiry as a file: made, given away in any way. */
class OneFilePresenter(core: Core, trail: Trail, private val errands: Errands, private val inquiry: RecordId) :
    WorkingPresenter<InquiryScreen>(core, trail, errands.one, errands.saved) {
    init {
        // A file of another inquiry was read there, or is made again.
        if ((errands.one.stage as? Stage.Ended)?.value?.inquiry != inquiry) errands.one.clear()
        if (errands.one.stage is Stage.Idle) errands.saved.clear()
    }

    /** Making the file. */
    val made get() = errands.one.stage

    /** Copying it to a place. */
    val saved get() = errands.saved.stage

    override fun Screens.load() = inquiry(inquiry)

    /** Makes the file. */
    fun make() = errands.writeOne(inquiry)

    /** Copies it to a place that somebody chose. */
    fun save(to: Sink) = (made as? Stage.Ended)?.let { errands.saveFile(to, it.value.file) }

    /** What came of it was read. */
    fun seen() {
        errands.one.clear()
        errands.saved.clear()
    }
}
