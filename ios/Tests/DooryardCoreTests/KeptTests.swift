import DooryardCore
import Foundation
import Testing

@Suite struct KeptTests {
    let folder: Folder
    let desk: Desk
    let secrets = MemorySecrets()
    let notebook: FieldNotebook
    let saved: FieldWork
    let backup: String
    let zip: String

    init() throws {
        folder = try Folder()
        desk = try Desk(office: folder.path("office"))
        notebook = try desk.newPhone(in: folder.path("phone"), label: "Scout 8", secrets: secrets)
        saved = try FieldWork(in: notebook, by: "Scout 8")
        (backup, zip) = (folder.path("backup"), folder.path("own.zip"))
    }

    private func size(_ path: String) throws -> UInt64? {
        (try FileManager.default.attributesOfItem(atPath: path)[.size] as? NSNumber)?.uint64Value
    }

    @Test func aBackupTellsItsStepsAndMergesIntoTheNotebookWithoutLosingEither() throws {
        let steps = Steps()
        let made = try notebook.backUp(outPath: backup, listener: steps)
        #expect(made.photos == 2)
        #expect(try size(backup) == made.bytes)
        #expect(steps.seen.map(\.done) == [1, 2] && steps.seen.map(\.total) == [2, 2])
        let later = try notebook.save(kind: .site, id: nil, fieldsJson: #"{"township": "Sedge"}"#)
        let before = try everything(in: notebook)
        let merged = try notebook.mergeBackup(path: backup)
        #expect([merged.changes, merged.here, merged.photos] == [0, 5, 0])
        #expect(!merged.newLog)
        #expect(try everything(in: notebook) == before)
        #expect(try notebook.show(id: later).text("township") == "Sedge")
    }

    @Test func aNotebookThatWentOnAfterItsDatabaseWasLostGetsTheOldWorkBack() throws {
        _ = try notebook.backUp(outPath: backup)
        notebook.shutdown()
        try loseAllButTheKey(folder.path("phone"))
        let again = try FieldNotebook.open(path: folder.path("phone"), secrets: secrets)
        _ = try again.join(text: desk.invite("Scout 8"))
        let fresh = try again.save(kind: .site, id: nil, fieldsJson: #"{"township": "Sedge"}"#)
        let token = CancelToken()
        let stops = Steps { token.cancel() }
        #expect(thrown { _ = try again.mergeBackup(path: backup, token: token, listener: stops) } == .Cancelled)
        #expect(stops.seen.count == 1, "stopped at the first photo")
        #expect(try again.mergeBackup(path: backup).photos == 1, "the photo that was left")
        #expect(try again.show(id: saved.finding).text("character") == "leaf_spot")
        #expect(try again.show(id: fresh).text("township") == "Sedge")
    }

    @Test func aBackupThatIsStoppedLeavesNoFile() throws {
        struct ScreenIsGone: Error {}
        let token = CancelToken()
        token.cancel()
        #expect(thrown { _ = try notebook.backUp(outPath: backup, token: token) } == .Cancelled)
        #expect(thrown { _ = try notebook.exportOwnData(outPath: zip, token: token) } == .Cancelled)
        let broken = Steps { throw ScreenIsGone() }
        #expect(thrown { _ = try notebook.backUp(outPath: backup, listener: broken) } == .ListenerFailed)
        #expect(thrown { _ = try notebook.exportOwnData(outPath: zip, listener: broken) } == .ListenerFailed)
        let there = try FileManager.default.contentsOfDirectory(atPath: folder.url.path)
        #expect(there.filter { $0.hasPrefix("backup") || $0.hasPrefix("own") || $0.hasSuffix(".part") } == [])
    }

    @Test func anotherPhonesBackupACutOneAndAFullFolderAreRefusedAndNothingIsChanged() throws {
        _ = try notebook.backUp(outPath: backup)
        let other = try desk.newPhone(in: folder.path("other"), label: "Scout 9", secrets: secrets)
        _ = try other.backUp(outPath: folder.path("theirs"))
        let whole = try Data(contentsOf: URL(fileURLWithPath: backup))
        try whole.dropLast(40).write(to: folder.url.appendingPathComponent("cut"))
        let before = try everything(in: notebook)
        #expect(refusal { _ = try notebook.mergeBackup(path: folder.path("theirs")) } == "NOT_FOR_US")
        let cut = thrown { _ = try notebook.mergeBackup(path: folder.path("cut")) }
        guard case .Refused(let code, _, let sentence)? = cut else {
            Issue.record("\(String(describing: cut))")
            return
        }
        #expect(code == "CUT")
        #expect(sentence.en.contains("Nothing of it was used") && sentence.es.contains("No se usó nada"))
        let full = refusal {
            _ = try FieldNotebook.restoreBackup(path: folder.path("phone"), backupPath: backup, secrets: secrets)
        }
        #expect(full == "SCHEMA")
        #expect(try everything(in: notebook) == before)
    }

    @Test func onlyPhotosThatAreSafeAreLetGoOfAndOnlyByThePersonsRule() throws {
        let original = try #require(try size(Places.leafPhoto.path))
        #expect(try notebook.lettingGo() == .nothing)
        try handOver()
        try notebook.setLettingGo(rule: .originals)
        let kept = try notebook.letGo()
        #expect([kept.originals, kept.originalsKept] == [0, 1], "the office has it on its own disk only")
        try desk.backUp(to: folder.path("office.backup"))
        try handOver()
        try notebook.setLettingGo(rule: .nothing)
        #expect(try notebook.letGo().originals == 0, "the rule says keep")

        try notebook.setLettingGo(rule: .originals)
        let token = CancelToken()
        token.cancel()
        #expect(thrown { _ = try notebook.letGo(token: token) } == .Cancelled)
        let before = try bytesOfPhotos()
        let steps = Steps()
        let gone = try notebook.letGo(listener: steps)
        #expect([gone.originals, gone.originalsKept, gone.bytes] == [1, 0, original])
        #expect(gone.rule == .originals)
        #expect(steps.seen.map(\.done) == [1] && steps.seen.map(\.total) == [1])
        #expect(try bytesOfPhotos() + original == before, "the thumbnail stays")
        #expect(try notebook.show(id: saved.photo).text("mime") == "image/jpeg")
    }

    @Test func lettingGoThatIsStoppedGoesOnTheNextTime() throws {
        let other = folder.path("other.jpg")
        try (Data(contentsOf: Places.leafPhoto) + Data("one more".utf8)).write(to: URL(fileURLWithPath: other))
        _ = try notebook.addPhoto(path: other, fieldsJson: #"{"part": "whole"}"#)
        let sizes = try [other, Places.leafPhoto.path].map { try #require(try size($0)) }
        try handOver()
        try desk.backUp(to: folder.path("office.backup"))
        try handOver()
        try notebook.setLettingGo(rule: .originals)
        let before = try bytesOfPhotos()
        let token = CancelToken()
        let stops = Steps { token.cancel() }
        #expect(thrown { _ = try notebook.letGo(token: token, listener: stops) } == .Cancelled)
        #expect(stops.seen.map(\.done) == [1] && stops.seen.map(\.total) == [2])
        let left = try bytesOfPhotos()
        #expect(sizes.contains { left + $0 == before }, "one went")
        let steps = Steps()
        #expect(try notebook.letGo(listener: steps).originalsKept == 0)
        #expect(steps.seen.map(\.done) == [1] && steps.seen.map(\.total) == [1], "the other one")
        #expect(try bytesOfPhotos() + sizes[0] + sizes[1] == before)
    }

    private func handOver() throws {
        _ = try notebook.makeBundle(outPath: folder.path("out.yard"))
        try desk.takeIn(folder.path("out.yard"))
        try desk.reply(to: "Scout 8", out: folder.path("reply.yard"))
        _ = try notebook.takeReply(path: folder.path("reply.yard"))
    }

    private func bytesOfPhotos() throws -> UInt64 {
        try filesOf(folder.path("phone/photos")).values.map { UInt64($0.count) }.reduce(0, +)
    }

    @Test func onesOwnDataGoesIntoAnotherNotebookAndTwiceChangesNothing() throws {
        let steps = Steps()
        let exported = try notebook.exportOwnData(outPath: zip, listener: steps)
        #expect([exported.records, exported.photos, exported.photosElsewhere] == [5, 2, 0])
        #expect(try size(zip) == exported.bytes)
        #expect(steps.seen.count == 2)
        let other = try desk.newPhone(in: folder.path("other"), label: "Scout 9", secrets: secrets)
        let heard = Steps()
        let imported = try other.importOwnData(path: zip, listener: heard)
        #expect([imported.records, imported.photos] == [5, 2])
        #expect(heard.seen.last.map { [$0.done, $0.total] } == [7, 7])
        #expect(try other.show(id: saved.inquiry).text("question") == "¿Por qué tiene manchas la hoja? 🍁")
        let again = try other.importOwnData(path: zip)
        #expect([again.records, again.photos, again.here] == [0, 0, imported.values])

        let whole = try Data(contentsOf: URL(fileURLWithPath: zip))
        try whole.prefix(whole.count / 2).write(to: folder.url.appendingPathComponent("cut.zip"))
        #expect(refusal { _ = try other.importOwnData(path: folder.path("cut.zip")) } == "CUT")
        #expect(try other.list(request: ListRequest()).total == 5)
    }
}
