import DooryardCore
import Foundation
import Testing

@Suite struct BundleTests {
    let folder: Folder
    let desk: Desk
    let notebook: FieldNotebook
    let saved: FieldWork
    let out: String

    init() throws {
        folder = try Folder()
        desk = try Desk(office: folder.path("office"))
        notebook = try desk.newPhone(in: folder.path("phone"), label: "Scout 8")
        saved = try FieldWork(in: notebook, by: "Scout 8")
        out = folder.path("out.yard")
    }

    @Test func goesToTheOfficeAndTheReplyComesBack() throws {
        let summary = try notebook.makeBundle(outPath: out)
        #expect(try notebook.way(id: saved.inquiry) == .handedOver)

        try desk.takeIn(out)
        try desk.reply(to: "Scout 8", out: folder.path("reply.yard"))
        let steps = Steps()
        let taken = try notebook.takeReply(path: folder.path("reply.yard"), listener: steps)
        #expect(taken.received == summary.changes)
        #expect(taken.photosReceived == 2, "the photo and its thumbnail")
        #expect(taken.waiting.isEmpty)
        #expect(!taken.restored)
        #expect(!steps.seen.isEmpty)
        #expect(try notebook.way(id: saved.inquiry) == .officeHasIt)

        guard case .Refused(_, let retry, let sentence)? = thrown(by: { _ = try notebook.takeReply(path: out) }) else {
            Issue.record("took its own bundle for a reply")
            return
        }
        #expect(retry == .never)
        #expect(!sentence.en.isEmpty && !sentence.es.isEmpty)
    }

    @Test func whatWasGivenOutGoesOnceTheReplyErased() throws {
        let given = folder.url.appendingPathComponent("given")
        try FileManager.default.createDirectory(at: given, withIntermediateDirectories: true)
        _ = try notebook.makeBundle(outPath: given.appendingPathComponent("out.yard").path)
        _ = try notebook.exportOwnData(outPath: given.appendingPathComponent("own.zip").path)
        func left() throws -> Int { try FileManager.default.contentsOfDirectory(atPath: given.path).count }
        try desk.takeIn(given.appendingPathComponent("out.yard").path)
        #expect(try !notebook.heedGivenOut(path: given.path))
        #expect(try left() == 2)
        try desk.erase(saved.inquiry)
        try desk.reply(to: "Scout 8", out: folder.path("reply.yard"))
        _ = try notebook.takeReply(path: folder.path("reply.yard"))
        #expect(try notebook.heedGivenOut(path: given.path))
        #expect(try left() == 0)
    }

    @Test func leavesABundleForTheOneOfficeThatTakesInEveryPhone() throws {
        let phone = Places.phones.appendingPathComponent("swift-phone").path
        try? FileManager.default.removeItem(atPath: phone)
        let bundle = Places.phones.appendingPathComponent("swift.yard").path
        let shared = try Desk(office: Places.phones.appendingPathComponent("office").path)
        let secrets = MemorySecrets(name: MemorySecrets.known)
        let notebook = try shared.newPhone(in: phone, label: "Scout 2", secrets: secrets)
        _ = try FieldWork(in: notebook, by: "Scout 2")

        let steps = Steps()
        let summary = try notebook.makeBundle(outPath: bundle, listener: steps)
        #expect(summary.changes == 5)
        #expect(summary.photos == 2)
        let size = try FileManager.default.attributesOfItem(atPath: bundle)[.size] as? NSNumber
        #expect(size?.uint64Value == summary.bytes)
        #expect(summary.toOffice == "Larkspur County")

        #expect(!steps.seen.isEmpty)
        #expect(steps.seen.map(\.done) == steps.seen.map(\.done).sorted(), "steps only go forward")
        #expect(steps.seen.allSatisfy { (0...$0.total).contains($0.done) })
    }

    @Test func stopsWhenAskedAndLeavesNoFile() throws {
        let before = CancelToken()
        before.cancel()
        #expect(thrown { _ = try notebook.makeBundle(outPath: out, token: before) } == .Cancelled)

        let during = CancelToken()
        let steps = Steps { during.cancel() }
        #expect(thrown { _ = try notebook.makeBundle(outPath: out, token: during, listener: steps) } == .Cancelled)
        #expect(steps.seen.count == 1, "stopped at the first step")
        #expect(!FileManager.default.fileExists(atPath: out))
        #expect(try notebook.way(id: saved.inquiry) == .onThisPhone)
    }

    @Test func aListenerThatFailsStopsTheWorkInsteadOfTheProgram() throws {
        struct ScreenIsGone: Error {}
        let broken = Steps { throw ScreenIsGone() }
        #expect(thrown { _ = try notebook.makeBundle(outPath: out, listener: broken) } == .ListenerFailed)
        let refusing = Steps { throw NotebookError.Cancelled }
        #expect(thrown { _ = try notebook.makeBundle(outPath: out, listener: refusing) } == .Cancelled)
        #expect(!FileManager.default.fileExists(atPath: out))
        #expect(try notebook.makeBundle(outPath: out).bytes > 0, "and it can be made afterwards")
    }

    @Test func whatIsNoReplyIsRefusedWithACode() throws {
        let noise = String(repeating: "not a bundle at all, but long enough to be one", count: 9)
        try Data(noise.utf8).write(to: URL(fileURLWithPath: folder.path("noise.yard")))
        guard
            case .Refused(let code, _, _)? = thrown(by: { _ = try notebook.takeReply(path: folder.path("noise.yard")) })
        else {
            Issue.record("took noise for a reply")
            return
        }
        #expect(code == "BAD_MAGIC")
    }
}
