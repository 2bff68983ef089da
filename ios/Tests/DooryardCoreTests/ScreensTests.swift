import DooryardCore
import Foundation
import Testing

private final class Heard: ChangeListener, @unchecked Sendable {
    var count = 0

    func onChange() throws {
        count += 1
    }
}

@Suite struct ScreensTests {
    let folder: Folder
    let desk: Desk
    let notebook: FieldNotebook
    let screens: Screens

    init() throws {
        folder = try Folder()
        desk = try Desk(office: folder.path("office"))
        notebook = try desk.newPhone(in: folder.path("phone"), label: "Scout 8", secrets: MemorySecrets())
        let pack = Places.root.appendingPathComponent("fixtures/packs/landscape").path
        let reader = Reader(language: .en, units: .customary, zone: "America/Chicago")
        screens = try Screens.open(book: notebook, packPath: pack, reader: reader)
    }

    @Test func anInquiryGoesFromTheFirstTapIntoABundle() throws {
        let inquiry = try screens.begin(channel: "yard")
        _ = try screens.write(inquiry: inquiry, field: "words", text: "Spots on the low leaves", left: false)
        let made = try screens.writePlant(inquiry: inquiry, plant: nil, field: "host", text: "maple", left: true)
        let plant = try #require(made.plant)
        let look = try #require(try screens.look(inquiry: inquiry, plant: plant, look: "", answered: "").look)
        let next = try screens.answer(
            inquiry: inquiry, plant: plant, look: look.character, picked: ["could_not_tell"], absent: [], comfort: 2)
        #expect(next.look?.character != look.character)
        let home = try screens.today()
        #expect(home.waits && home.resume?.inquiry == inquiry)
        let bundle = try screens.handOver(outPath: folder.path("one.yard"))
        #expect(!bundle.more && FileManager.default.fileExists(atPath: bundle.path))
        #expect(try screens.inquiry(inquiry: inquiry).way == .handedOver)
        let second = try screens.again(inquiry: inquiry)
        let screen = try screens.inquiry(inquiry: second)
        #expect(screen.plants.count == 1 && screen.said.isEmpty && screen.overTime.isEmpty)
    }

    @Test func whoListensIsToldUntilTheHandleIsCancelledAndTheReaderCanChange() throws {
        let heard = Heard()
        let handle = try screens.listen(listener: heard)
        _ = try screens.begin(channel: "")
        #expect(heard.count == 1)
        try handle.cancel()
        try screens.setReader(reader: Reader(language: .es, units: .metric, zone: "America/Chicago"))
        #expect(heard.count == 1)
        #expect(try screens.today().waiting.contains("consulta"))
        #expect(try screens.fix(accuracyM: 6, ageMs: 0).text.contains("6 m"))
    }
}
