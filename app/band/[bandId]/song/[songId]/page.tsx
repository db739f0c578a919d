import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { NotYours } from '../../../../band/NotYours';
import { Board } from '../../../../board/Board';
import { KeptPage } from '../../../../ui/KeptPage';
import { Title } from '../../../../ui/Title';

interface Props {
  readonly params: Promise<{ bandId: string; songId: string }>;
}

export default async function SongPage({ params }: Props) {
  const { bandId, songId } = await params;
  const cookie = (await headers()).get('cookie');
  const result = await pageData().song(bandId, songId, cookie);
  if (!result.ok) return <NotYours problem={result.error} />;
  return (
    <>
      <Title of={result.value.song.title} />
      <Board songId={songId} initial={result.value} />
      <KeptPage />
    </>
  );
}
