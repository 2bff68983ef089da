import DooryardCore
import Foundation
import Testing

/// The life of a phone that is lost twice, with a real office.
@Suite struct EndToEndTests {
    let folder: Folder
    let desk: Desk
    let secrets = MemorySecrets()
    let phone: String
    let backup: String

    init() throws {
        folder = try Folder()
        desk = try Desk(office: folder.path("office"))
        (phone, backup) = (folder.path("phone"), folder.path("phone.backup"))
    }

    private func saveASite(in notebook: FieldNotebook) throws -> RecordId {
        try notebook.save(kind: .site, id: nil, fieldsJson: #"{"township": "Sedge"}"#)
    }

    private func handOver(_ notebook: FieldNotebook, _ name: String) throws {
        let (bundle, reply) = (folder.path("\(name).yard"), folder.path("\(name)-reply.yard"))
        _ = try notebook.makeBundle(outPath: bundle)
        try desk.takeIn(bundle)
        try desk.reply(to: "Scout 8", out: reply)
        _ = try notebook.takeReply(path: reply)
    }

    @Test func aPhoneTakenOnByTextsLosesItsFolderAndNothingIsLost() throws {
        let notebook = try FieldNotebook.create(path: phone, secrets: secrets)
        guard case .asking(_, let ask) = try notebook.join(text: desk.invite("Scout 8")) else {
            Issue.record("an invited phone does not ask")
            return
        }
        let enrolled = try notebook.takeAnswer(text: desk.admit(ask))
        _ = try FieldWork(in: notebook, by: "Scout 8")
        try handOver(notebook, "first")
        _ = try saveASite(in: notebook)
        _ = try notebook.addPhoto(path: Places.leafPhoto.path, fieldsJson: #"{"part": "whole"}"#)
        _ = try notebook.backUp(outPath: backup)
        let before = try everything(in: notebook)
        #expect(before.count == 7)
        notebook.shutdown()

        // All is lost but the key, which stands where no copy of the platform's reaches.
        try loseAllButTheKey(phone)
        let restored = try FieldNotebook.restoreBackup(
            path: phone, backupPath: backup, secrets: secrets, listener: Steps())
        #expect(try everything(in: restored) == before)
        #expect(try restored.enrolment() == enrolled)
        let photos = Set(before.values.flatMap { [$0.text("image"), $0.text("thumbnail")] }.compactMap { $0 })
        let names = try filesOf(phone + "/photos").keys.map { URL(fileURLWithPath: $0).lastPathComponent }
        #expect(Set(names) == photos)
        _ = try saveASite(in: restored)
        try handOver(restored, "second")
        let all = try Set(everything(in: restored).keys)
        #expect(all.count == 8)
        #expect(try all.allSatisfy { try restored.way(id: $0) == .officeHasIt })
        #expect(try desk.records() == all)
        let unsent = try saveASite(in: restored)
        _ = try restored.backUp(outPath: backup)
        restored.shutdown()

        // The key is lost too: only the office opens the backup, and what was never handed over is there.
        try FileManager.default.removeItem(atPath: phone)
        let gone = thrown {
            _ = try FieldNotebook.restoreBackup(path: phone, backupPath: backup, secrets: secrets)
        }
        guard case .NotFound? = gone else {
            Issue.record("\(String(describing: gone))")
            return
        }
        try desk.takeBackup(backup)
        #expect(try desk.records() == all.union([unsent]))
    }
}
